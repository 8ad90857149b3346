/// Weigh-up: the charge sheet of a mix, one bag and one mass at a time.
import type { JSX } from 'preact';
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import { Refused, Unreachable } from '../api.ts';
import { useHeard } from '../live.ts';
import { Code } from '../parts/text.tsx';
import { cleanCode } from '../scan.ts';
import { readTyped, withUnit } from '../typed.ts';
import { known, t } from './words.ts';
import { Flash, Frame, Lines, ScanField, Stop, stopOf, type DoneLine, type StopSaid, type Taken } from './kit.tsx';
import { Choose, Picks, recall, remember, Waits } from './memory.tsx';
import { floor, isReachable, useReachable, type CodeHere, type Sheet, type SheetLine, type StationHere, type Trial } from './net.ts';
import { report, useReports, type Report } from './queue.ts';
import { kindWords, useStation } from './here.ts';

const place = 'weigh-up';

/// `why`: it may not be used, and went in all the same.
interface Bag { lot: string; why?: string }
interface State { sheet: Sheet | null; bag: Bag | null; stop: StopSaid | null; wrong_lot: string; asks_why: boolean;
  /// Materials whose weighing is on record though the sheet here is older.
  covered: string[];
  /// A mix is to be opened of one of this batch's two compounds.
  layers_of: CodeHere | null;
  taken: Taken | null; off: { trial: Trial; typed: string } | null; busy: boolean }
const empty: State = { sheet: null, bag: null, stop: null, wrong_lot: '', asks_why: false, covered: [], layers_of: null, taken: null, off: null, busy: false };

/// The sheet in hand outlives a reload, also one without network.
const sheet_key = 'station.weigh-up.sheet';
function recallSheet(): Sheet | null {
  const [come] = performance.getEntriesByType('navigation') as PerformanceNavigationTiming[];
  const kept = come?.type === 'reload' ? sessionStorage.getItem(sheet_key) : null;
  return kept ? JSON.parse(kept) as Sheet : null;
}
function rememberSheet(sheet: Sheet | null): void {
  if (sheet) sessionStorage.setItem(sheet_key, JSON.stringify(sheet));
  else sessionStorage.removeItem(sheet_key);
}

/// What was weighed and is not on the sheet: it waits, or a person has to settle it.
const pendingOf = (reports: Report[], sheet: Sheet): Report[] =>
  reports.filter((r) => r.state !== 'settled' && r.path === 'mix/weigh' && r.input.mix === sheet.id);
const linePending = (pending: Report[], line: SheetLine): Report[] => pending.filter((r) => r.input.material === line.material);

const toWeigh = (sheet: Sheet, pending: Report[], covered: string[]): SheetLine[] =>
  sheet.lines.filter((l) => l.open && !covered.includes(l.material) && linePending(pending, l).length === 0);

function sheetLines(sheet: Sheet, pending: Report[], now: SheetLine | undefined): DoneLine[] {
  return sheet.lines.map((l) => {
    const waits = linePending(pending, l);
    if (waits.some((r) => r.state === 'refused')) return { word: 'refused', label: l.name, value: t('station.weigh.settle') };
    if (waits.length) return { word: 'due soon', label: l.name, value: t('station.weigh.waits', { mass: waits.map((r) => String(r.input.mass)).join(' + ') }) };
    return { word: l.word, label: l.name, value: l.weighed || l.wanted, now: l === now };
  });
}

const stop = (title: string, act: string, ...why: string[]): StopSaid => ({ title, act, why, missing: [] });

/// Online the service says whether the bag is right; the reason is its own.
function bagStop(found: CodeHere, line: SheetLine): StopSaid | null {
  if (found.kind !== 'lot') return stop(t('station.stop.kind'), t('station.weigh.scan_bag', { name: line.name }), t('station.stop.is', { code: found.id, words: kindWords(found) }));
  if (found.missing.length === 0) return null;
  return { title: t('station.weigh.wrong_bag'), act: t('station.weigh.put_back', { name: line.name }), why: [], missing: found.missing };
}

/// Without network nothing is permitted: a bag known to be wrong stops, any other goes on as reported and unchecked.
function bagStopOffline(sheet: Sheet, line: SheetLine, code: string): StopSaid | null {
  const lot = sheet.lots.find((l) => l.lot.toUpperCase() === code);
  if (!lot) return stop(t('station.weigh.unknown_bag'), t('station.weigh.set_aside'), t('station.weigh.not_listed', { code, as_of: sheet.as_of }));
  if (lot.material !== line.material) return stop(t('station.weigh.wrong_bag'), t('station.weigh.put_back', { name: line.name }), t('station.weigh.is_material', { code: lot.lot, material: lot.material }));
  if (!lot.may) return stop(t('station.weigh.wrong_bag'), t('station.weigh.put_back', { name: line.name }), lot.why);
  return null;
}

export function WeighUp(): JSX.Element {
  const here = useStation(place);
  const reports = useReports();
  const reachable = useReachable();
  const [state, setState] = useState<State>(() => ({ ...empty, sheet: recallSheet() }));
  useEffect(() => rememberSheet(state.sheet), [state.sheet]);
  const [machine, setMachine] = useState(recall(place, 'machine'));
  const [gauge, setGauge] = useState(recall(place, 'gauge'));
  const { sheet, bag } = state;
  const pending = sheet ? pendingOf(reports, sheet) : [];
  const left = sheet ? toWeigh(sheet, pending, state.covered) : [];
  const line = left[0];
  const change = (next: Partial<State>): void => setState((s) => ({ ...s, ...next }));

  // No line is asked twice because the sheet has not come yet: an older answer does not uncover it.
  const turn = useRef(0);
  const cover = (materials: string[]): void => {
    turn.current += 1;
    setState((s) => ({ ...s, covered: [...s.covered, ...materials] }));
  };
  const fresh = async (mix: string): Promise<void> => {
    const mine = turn.current;
    try {
      const now = await floor.sheet(mix);
      setState((s) => (s.sheet === null || s.sheet.id === mix ? { ...s, sheet: now, covered: mine === turn.current ? [] : s.covered } : s));
    } catch (fault) {
      if (!(fault instanceof Unreachable)) throw fault;
    }
  };
  // Somebody else may weigh into the same mix.
  useHeard(sheet ? { kind: 'mix', id: sheet.id } : undefined, () => { if (sheet) void fresh(sheet.id); });
  // What was queued has gone: the sheet is asked again.
  const queued = useRef<Report[]>([]);
  useLayoutEffect(() => {
    const gone = queued.current.filter((q) => !pending.some((p) => p.token === q.token));
    queued.current = pending;
    if (gone.length) cover(gone.map((r) => String(r.input.material)));
    if (sheet && reachable) void fresh(sheet.id);
  }, [reachable, pending.map((p) => p.token).join()]);

  const refuse = (fault: unknown, act: string): void => {
    if (fault instanceof Refused) return change({ stop: stopOf(fault.problem, act), busy: false });
    if (fault instanceof Unreachable) return change({ stop: stop(t('station.stop.network'), t('station.stop.later')), busy: false });
    throw fault;
  };

  const takeMix = async (code: string): Promise<void> => {
    change({ busy: true, stop: null, taken: null });
    try {
      const found = await floor.code(place, code);
      const setting = settingOf(found, here);
      if (setting) {
        (setting === 'machine' ? setMachine : setGauge)(found.id);
        remember(place, setting, found.id);
        return change({ busy: false, taken: { word: 'inside', words: t('station.uses', { code: found.id }) } });
      }
      if (found.kind === 'batch') return await openMix(found);
      if (found.kind !== 'mix') return change({ busy: false, stop: stop(t('station.stop.kind'), t('station.weigh.scan_mix'), t('station.stop.is', { code: found.id, words: kindWords(found) })) });
      change({ busy: false, sheet: await floor.sheet(found.id), taken: { word: 'inside', words: found.words } });
    } catch (fault) {
      refuse(fault, t('station.weigh.scan_mix'));
    }
  };

  const openMix = async (batch: CodeHere, compound?: string): Promise<void> => {
    if (batch.missing.length) return change({ busy: false, stop: { title: t('station.stop.may_not'), act: t('station.weigh.scan_mix'), why: [], missing: batch.missing } });
    if (machine === '') return change({ busy: false, stop: stop(t('station.stop.missing'), t('station.choose.machine')) });
    if (batch.layers?.length && !compound) return change({ busy: false, layers_of: batch });
    change({ layers_of: null });
    const sent = await report('mix/open', { batch: batch.id, machine, ...(compound ? { compound } : {}) }, t('station.weigh.opened', { batch: batch.id }));
    if (sent.kind === 'refused') return change({ busy: false, stop: stopOf(sent.problem, t('station.weigh.scan_mix')) });
    const mix = sent.kind === 'recorded' ? sent.done.created?.id : undefined;
    if (!mix) return change({ busy: false, stop: stop(t('station.stop.network'), t('station.weigh.open_waits')) });
    change({ busy: false, sheet: await floor.sheet(mix), taken: { word: 'inside', words: t('station.weigh.opened', { batch: batch.id }), sub: mix } });
  };

  const takeBag = async (typed: string): Promise<void> => {
    if (!sheet || !line) return;
    const code = cleanCode(typed);
    if (code === '') return;
    change({ busy: true, stop: null, wrong_lot: '', off: null, bag: null, taken: null });
    try {
      if (!isReachable()) throw new Unreachable('known to be away');
      const found = await floor.code(place, code, line.material);
      const wrong = bagStop(found, line);
      change(wrong ? { busy: false, stop: wrong, wrong_lot: found.kind === 'lot' ? found.id : '' } : { busy: false, bag: { lot: found.id }, taken: { word: 'inside', words: t('station.weigh.right_bag', { lot: found.id }) } });
    } catch (fault) {
      if (!(fault instanceof Unreachable)) return refuse(fault, t('station.weigh.put_back', { name: line.name }));
      const wrong = bagStopOffline(sheet, line, code);
      change(wrong ? { busy: false, stop: wrong } : { busy: false, bag: { lot: code }, taken: { word: 'missing', words: t('station.weigh.unchecked', { lot: code }), sub: t('station.weigh.unchecked.more', { as_of: sheet.as_of }) } });
    }
  };

  const takeMass = async (typed: string, all_the_same: boolean): Promise<void> => {
    if (!sheet || !line || !bag) return;
    const read = readTyped(typed, 'kg');
    if (read.kind === 'unreadable') return takeBag(typed);  // a bag was scanned instead
    if (read.kind === 'ambiguous') return change({ stop: stop(t('station.stop.unread'), t('echo.ambiguous', { thousand: read.thousand, fraction: read.fraction })) });
    if (read.kind !== 'number') return;
    const mass = withUnit(typed, 'kg');
    change({ busy: true, stop: null, off: null });
    try {
      let trial: Trial | null = null;
      if (isReachable()) trial = await floor.tryMass(sheet.id, line.material, mass).catch((fault: unknown) => { if (fault instanceof Unreachable) return null; throw fault; });
      if (trial && trial.word !== 'inside' && !all_the_same) return change({ busy: false, off: { trial, typed: mass }, taken: null });
      await record(mass, trial);
    } catch (fault) {
      refuse(fault, t('station.weigh.mass_again'));
    }
  };

  const record = async (mass: string, trial: Trial | null): Promise<void> => {
    if (!sheet || !line || !bag) return;
    const words = t('station.weigh.words', { mass, name: line.name, lot: bag.lot, mix: sheet.id });
    const sent = await report('mix/weigh', { mix: sheet.id, material: line.material, lot: bag.lot, mass, gauge, ...(bag.why ? { remark: { why: bag.why } } : {}) }, words);
    if (sent.kind === 'refused') return change({ busy: false, bag: null, stop: stopOf(sent.problem, t('station.weigh.put_back', { name: line.name })) });
    const taken: Taken = sent.kind === 'waiting'
      ? { word: 'due soon', words: t('station.weigh.kept', { mass }), sub: t('station.weigh.kept.more') }
      : { word: trial?.word ?? 'inside', words: t('station.weigh.taken', { mass: trial?.understood ?? mass, word: known(`word.${trial?.word ?? ''}`, '') }), sub: line.name };
    if (sent.kind === 'recorded') {
      cover([line.material]);
      await fresh(sheet.id);
    }
    change({ busy: false, bag: null, off: null, taken });
  };

  const finish = async (typed: string): Promise<void> => {
    if (!sheet || !/^\d+$/.test(typed.trim())) return change({ stop: stop(t('station.stop.unread'), t('station.weigh.minutes')) });
    change({ busy: true, stop: null });
    const sent = await report('mix/finish', { mix: sheet.id, minutes: Number(typed.trim()) }, t('station.weigh.finished', { mix: sheet.id }));
    if (sent.kind === 'refused') return change({ busy: false, stop: stopOf(sent.problem, t('station.weigh.minutes')) });
    setState({ ...empty, taken: { word: sent.kind === 'recorded' ? 'inside' : 'due soon', words: t('station.weigh.finished', { mix: sheet.id }) } });
  };

  const choosing = machineOrGauge(here, machine, gauge);
  const frame = { title: 'station.weigh.title', caution: 'station.caution.dust' } as const;
  if (!sheet && choosing) {
    const choose = (code: string): void => {
      (choosing === 'machine' ? setMachine : setGauge)(code);
      remember(place, choosing, code);
    };
    return <Frame {...frame}><Choose what={choosing} list={choosing === 'machine' ? here?.machines ?? [] : here?.gauges ?? []} choose={choose} /></Frame>;
  }
  if (state.layers_of) {
    const of = state.layers_of;
    const pick = (code: string): void => { if (of.layers?.includes(code)) void openMix(of, code).catch((fault) => refuse(fault, t('station.weigh.scan_mix'))); };
    return (
      <Frame {...frame} context={<>{machine} · {of.id}</>} button={{ words: t('station.stop.again'), press: () => change({ layers_of: null }) }}>
        <p class="st-step">{t('station.step.first')}</p><h1 class="st-say">{t('station.weigh.layer')}</h1>
        <Picks list={(of.layers ?? []).map((code) => ({ code, name: code }))} choose={pick} names />
        <ScanField label={t('station.scan')} submit={(s) => pick(s.trim())} busy={state.busy} />
      </Frame>
    );
  }
  if (!sheet) {
    return (
      <Frame {...frame} context={<>{machine} · {gauge}</>} side={<Waits title={t('station.weigh.open')} list={here?.waiting ?? []} />}
        button={{ words: t('station.change.machine'), press: () => { setMachine(''); setGauge(''); } }}>
        {state.stop ? <Stop said={state.stop} /> : <><p class="st-step">{t('station.step.first')}</p><h1 class="st-say">{t('station.weigh.scan_mix')}</h1></>}
        <ScanField label={t('station.scan')} submit={(s) => void takeMix(s)} busy={state.busy} faulty={state.stop !== null} />
        {!state.stop && <Flash taken={state.taken} />}
      </Frame>
    );
  }
  const context = <>{sheet.compound}, {t('issue.n', { n: sheet.issue })} · <Code>{sheet.id}</Code> · {t('kind.batch')} <Code>{sheet.batch}</Code> · {gauge}</>;
  const side = <Lines title={t('station.weigh.sheet')} lines={sheetLines(sheet, pending, line)}><p class="st-sum">{t('station.weigh.left', { left: left.length, all: sheet.lines.length })}</p></Lines>;
  if (!line) {
    return (
      <Frame {...frame} context={context} side={side} button={{ words: t('station.weigh.other_mix'), press: () => setState(empty) }}>
        {state.stop ? <Stop said={state.stop} /> : <><p class="st-step">{t('station.weigh.all')}</p><h1 class="st-say">{t('station.weigh.mix_now', { minutes: sheet.minutes })}</h1></>}
        <ScanField label={t('station.weigh.minutes')} submit={(s) => void finish(s)} busy={state.busy} numeric />
        {!state.stop && <Flash taken={state.taken} />}
      </Frame>
    );
  }
  const n = sheet.lines.indexOf(line) + 1;
  if (state.asks_why) {
    const take = (why: string): void => { if (why.trim()) change({ asks_why: false, bag: { lot: state.wrong_lot, why: why.trim() }, taken: { word: 'hold', words: t('station.irregular', { why: why.trim() }) } }); };
    return (
      <Frame {...frame} context={context} side={side} button={{ words: t('station.stop.again'), press: () => change({ asks_why: false }) }}>
        <p class="st-step">{line.name}, {state.wrong_lot}</p><h1 class="st-say">{t('station.same.why')}</h1><p class="st-hint">{t('station.same')}</p>
        <ScanField label={t('station.type')} submit={take} />
      </Frame>
    );
  }
  const button = state.stop && state.wrong_lot ? { words: t('station.same.do'), press: () => change({ stop: null, asks_why: true }) }
    : state.stop ? { words: t('station.stop.again'), press: () => change({ stop: null }) }
    : state.off ? { words: t(state.off.trial.word === 'outside below' ? 'station.weigh.next_bag' : 'station.weigh.as_it_is'), press: () => void takeMass(state.off?.typed ?? '', true) }
      : { words: t('station.weigh.other_mix'), press: () => setState(empty) };
  return (
    <Frame {...frame} context={context} side={side} button={button}>
      {state.stop ? <Stop said={state.stop} /> : <LineWords line={line} n={n} of={sheet.lines.length} bag={bag} off={state.off?.trial ?? null} />}
      <ScanField label={t(bag && !state.stop ? 'station.weigh.scale' : 'station.weigh.bag')} submit={(s) => void (bag && !state.stop ? takeMass(s, false) : takeBag(s))} busy={state.busy} faulty={state.stop !== null || state.off !== null} />
      {!state.stop && <Flash taken={state.taken} />}
    </Frame>
  );
}

function LineWords({ line, n, of, bag, off }: { line: SheetLine; n: number; of: number; bag: Bag | null; off: Trial | null }): JSX.Element {
  if (off) {
    const above = off.word === 'outside above';
    return (
      <div class="st-off" role="alert">
        <p class="st-step">{line.name}: {t('station.weigh.together', { total: off.total })}</p>
        <h1 class="st-say">{t(above ? 'station.weigh.too_much' : 'station.weigh.too_little', { off: off.off })}</h1>
        <p class="st-big"><svg class="st-shape" aria-hidden="true"><use href={above ? '#f-above' : '#f-below'} /></svg> {known(`word.${off.word}`, off.word)}</p>
        <p class="st-window">{t('station.weigh.window', { least: off.least, most: off.most })}</p>
      </div>
    );
  }
  return (
    <>
      <p class="st-step">{t('station.weigh.nth', { n, of })}</p>
      <h1 class="st-say">{t(bag ? 'station.weigh.pour' : 'station.weigh.fetch', { name: line.name })}</h1>
      <p class="st-number">{line.still} <small>{t('station.weigh.still', { tolerance: line.tolerance })}</small></p>
      <p class="st-window">{t('station.weigh.window', { least: line.least, most: line.most })}</p>
    </>
  );
}

function settingOf(found: CodeHere, here: StationHere | null): 'machine' | 'gauge' | null {
  if (here?.machines.some((m) => m.code === found.id)) return 'machine';
  return here?.gauges.some((g) => g.code === found.id) ? 'gauge' : null;
}

function machineOrGauge(here: StationHere | null, machine: string, gauge: string): 'machine' | 'gauge' | null {
  if (!here) return null;
  if (machine === '' && here.machines.length) return 'machine';
  return gauge === '' && here.gauges.length ? 'gauge' : null;
}
