/// A station that asks one thing after another, then shows what it understood and records it.
import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { Refused, Unreachable, type ActDone } from '../api.ts';
import { Mark } from '../parts/marks.tsx';
import { cleanCode } from '../scan.ts';
import { readTyped, withUnit } from '../typed.ts';
import { useZone } from '../session.ts';
import { clockOf, momentAt } from './clock.ts';
import { t } from './words.ts';
import { kindWords, useStation } from './here.ts';
import { Flash, Frame, Lines, ScanField, Stop, stopOf, type DoneLine, type StopSaid, type Taken as Flashed } from './kit.tsx';
import { Picks, recall, remember, Waits } from './memory.tsx';
import { floor, isReachable, serviceTime, type Coded, type StationHere } from './net.ts';
import type { Ask, Given, Place, Taken } from './places.ts';
import { report } from './queue.ts';

interface State {
  given: Given; rows: Given[]; row: Given; rows_over: boolean; list: string[]; scrap: Record<string, number>;
  stop: StopSaid | null; blocked: Taken | null; asks_why: boolean; why: string; flash: Flashed | null; busy: boolean; done: ActDone | null;
}
const fresh = (): State => ({ given: {}, rows: [], row: {}, rows_over: false, list: [], scrap: {}, stop: null, blocked: null, asks_why: false, why: '', flash: null, busy: false, done: null });

const asked = (asks: Ask[], given: Given, here: StationHere | null): Ask | undefined => asks.find((a) => !(a.key in given) && !a.skip?.(given, here));

/// What comes next, and whether it belongs to a row; none: it is time to look and record.
function next(place: Place, s: State, here: StationHere | null): { ask: Ask; row: boolean } | null {
  const first = asked(place.asks, s.given, here);
  if (first) return { ask: first, row: false };
  if (place.rows && !s.rows_over) {
    const one = asked(place.rows, s.row, here);
    if (one) return { ask: one, row: true };
  }
  const last = place.after && asked(place.after, s.given, here);
  return last ? { ask: last, row: false } : null;
}

const stopped = (title: string, act: string, ...why: string[]): StopSaid => ({ title, act, why: why.filter(Boolean), missing: [] });
type Read = { taken: Taken } | { stop: StopSaid } | { blocked: Taken; stop: StopSaid };

/// A code that the service knows; without network it is taken as it stands and the service checks it when it is sent.
async function readCode(place: Place, ask: Ask, given: Given, typed: string): Promise<Read> {
  const code = cleanCode(typed);
  try {
    if (!isReachable()) throw new Unreachable('known to be away');
    const found = await floor.code(place.name, code, ask.material?.(given) ?? '');
    if (!ask.kinds?.includes(found.kind)) return { stop: stopped(t('station.stop.kind'), t(ask.ask), t('station.stop.is', { code: found.id, words: kindWords(found) })) };
    const taken: Taken = { value: found.id, words: found.id, found };
    if (found.missing.length) return { blocked: taken, stop: { title: t('station.stop.may_not'), act: t('station.stop.put_back'), why: [t('station.stop.is', { code: found.id, words: kindWords(found) })], missing: found.missing } };
    return { taken };
  } catch (fault) {
    if (fault instanceof Refused) return { stop: stopOf(fault.problem, t(ask.ask)) };
    if (fault instanceof Unreachable) return { taken: { value: code, words: code, unchecked: true } };
    throw fault;
  }
}

/// A number that must be new (a lot's label) or has no page (a clamp): another thing's code is told apart.
async function readLabel(place: Place, ask: Ask, typed: string): Promise<Read> {
  const code = cleanCode(typed);
  const taken: Taken = { value: code, words: code };
  try {
    if (!isReachable()) return { taken: { ...taken, unchecked: true } };
    const found = await floor.code(place.name, code);
    if (found.kind === 'fact') return { taken };
    const title = ask.kinds?.includes(found.kind) ? t('station.stop.known') : t('station.stop.kind');
    return { stop: stopped(title, t(ask.ask), t('station.stop.is', { code: found.id, words: kindWords(found) })) };
  } catch (fault) {
    if (fault instanceof Refused && fault.problem.status === 404) return { taken };
    if (fault instanceof Refused) return { stop: stopOf(fault.problem, t(ask.ask)) };
    return { taken: { ...taken, unchecked: true } };
  }
}

function readMeasure(ask: Ask, typed: string): Read {
  const read = readTyped(typed, ask.unit);
  if (read.kind === 'ambiguous') return { stop: stopped(t('station.stop.unread'), t('echo.ambiguous', { thousand: read.thousand, fraction: read.fraction })) };
  if (read.kind !== 'number') return { stop: stopped(t('station.stop.unread'), t(ask.ask)) };
  return { taken: { value: withUnit(typed, ask.unit ?? ''), words: read.text } };
}

function readPlace(ask: Ask, typed: string): Read {
  const at = /^\s*(\d+)\s*[/ ,-]\s*(\d+)\s*$/.exec(typed);
  if (!at) return { stop: stopped(t('station.stop.unread'), t(ask.ask), ask.hint ? t(ask.hint) : '') };
  const [tier, position] = [Number(at[1]), Number(at[2])];
  return { taken: { value: { tier, position }, words: t('station.place.words', { tier, position }) } };
}

function readClock(ask: Ask, typed: string, zone: string): Read {
  const clock = clockOf(typed);
  const moment = clock && momentAt(clock, zone, serviceTime());
  return moment ? { taken: { value: moment, words: clock } } : { stop: stopped(t('station.stop.unread'), t(ask.ask), t('station.hint.clock')) };
}

function readPick(picks: Coded[], ask: Ask, typed: string): Read {
  const wanted = typed.trim().toLowerCase();
  const one = picks.find((p) => p.code.toLowerCase() === wanted || p.name.toLowerCase() === wanted);
  // Without network the list may not be here; the service reads the word when it is sent.
  if (!one && picks.length === 0 && wanted !== '') return { taken: { value: typed.trim(), words: typed.trim(), unchecked: true } };
  return one ? { taken: { value: one.code, words: one.name } } : { stop: stopped(t('station.stop.unread'), t(ask.ask)) };
}

function picksOf(ask: Ask, given: Given, here: StationHere | null): Coded[] {
  if (ask.want === 'machine') return here?.machines ?? [];
  if (ask.want === 'gauge') return here?.gauges ?? [];
  if (ask.picks) return ask.picks(given, here).map((code) => ({ code, name: code }));
  return ask.key === 'material' ? here?.materials ?? [] : [];
}

async function read(place: Place, ask: Ask, given: Given, here: StationHere | null, typed: string, zone: string): Promise<Read> {
  switch (ask.want) {
    case 'code': return readCode(place, ask, given, typed);
    case 'label': return readLabel(place, ask, typed);
    case 'measure': return readMeasure(ask, typed);
    case 'place': return readPlace(ask, typed);
    case 'clock': return readClock(ask, typed, zone);
    case 'pick': case 'machine': case 'gauge': return readPick(picksOf(ask, given, here), ask, typed);
    case 'count': return /^\d+$/.test(typed.trim()) ? { taken: { value: Number(typed.trim()), words: typed.trim() } } : { stop: stopped(t('station.stop.unread'), t(ask.ask), t('hint.whole')) };
    default: return { taken: { value: typed.trim(), words: typed.trim() } };
  }
}

/// What was chosen once is taken again by itself.
function withRemembered(place: Place, given: Given): Given {
  const out = { ...given };
  for (const ask of place.asks) {
    const code = ask.remembered ? recall(place.name, ask.key) : '';
    if (code && !(ask.key in out)) out[ask.key] = { value: code, words: code };
  }
  return out;
}

/// What was answered for another machine does not hold for this one.
const without = (place: Place, given: Given, changed: string): Given => Object.fromEntries(Object.entries(given).filter(([key]) => place.asks.find((a) => a.key === key)?.of !== changed));

const scrapWords = (scrap: Record<string, number>): string => Object.entries(scrap).map(([why, n]) => `${n} ${why}`).join(', ') || t('station.scrap.none');

export function Flow({ place }: { place: Place }): JSX.Element {
  const here = useStation(place.name);
  const zone = useZone();
  const [s, setS] = useState<State>(() => ({ ...fresh(), given: withRemembered(place, {}) }));
  const change = (more: Partial<State>): void => setS((old) => ({ ...old, ...more }));
  const now = next(place, s, here);
  const scope = now?.row ? { ...s.given, ...s.row } : s.given;
  useEffect(() => { document.getElementById('st-field')?.focus(); }, [now?.ask.key, s.stop]);

  const put = (ask: Ask, row: boolean, taken: Taken): void => {
    if (ask.remembered) remember(place.name, ask.key, String(taken.value));
    const flash: Flashed = { word: taken.unchecked ? 'missing' : 'inside', words: taken.words, sub: taken.unchecked ? t('station.unchecked') : taken.found ? kindWords(taken.found) : '' };
    setS((old) => {
      const base = { ...old, stop: null, blocked: null, asks_why: false, list: [], busy: false, flash };
      if (!row) return { ...base, given: { ...without(place, old.given, ask.key), [ask.key]: taken } };
      const one = { ...old.row, [ask.key]: taken };
      return place.rows && !asked(place.rows, one, here) ? { ...base, rows: [...old.rows, one], row: {} } : { ...base, row: one };
    });
  };

  /// Several readings end with an empty Enter; so do reasons of scrap, and clamps.
  const many = async (ask: Ask, row: boolean, typed: string): Promise<boolean> => {
    if (ask.want === 'measures') {
      if (typed.trim() === '' && s.list.length) put(ask, row, { value: s.list, words: s.list.join(', ') });
      else if (typed.trim() !== '') {
        const one = readMeasure(ask, typed);
        change('taken' in one ? { list: [...s.list, String(one.taken.value)], stop: null, flash: { word: 'inside', words: one.taken.words } } : { stop: one.stop });
      }
      return true;
    }
    if (ask.want === 'scrap') {
      const one = /^\s*(\d+)\s+(\S.*?)\s*$/.exec(typed);
      if (typed.trim() === '' || typed.trim() === '0') put(ask, row, { value: s.scrap, words: scrapWords(s.scrap) });
      else if (one) change({ scrap: { ...s.scrap, [one[2] as string]: Number(one[1]) }, stop: null, flash: { word: 'inside', words: `${one[1]} ${one[2]}` } });
      else change({ stop: stopped(t('station.stop.unread'), t(ask.ask), ask.hint ? t(ask.hint) : '') });
      return true;
    }
    const rows_end = row && ask === place.rows?.[0] && typed.trim() === '';
    if (rows_end && s.rows.length) change({ rows_over: true, stop: null, flash: null });
    return rows_end;
  };

  /// A machine or gauge may be scanned at any time; it is the station's from then on.
  const setting = (typed: string): boolean => {
    const wanted = typed.trim().toLowerCase();
    for (const ask of place.asks.filter((a) => a.remembered)) {
      const one = picksOf(ask, s.given, here).find((c) => c.code.toLowerCase() === wanted);
      if (!one) continue;
      put(ask, false, { value: one.code, words: one.code });
      change({ flash: { word: 'inside', words: t('station.uses', { code: one.code }) } });
      return true;
    }
    return false;
  };

  const submit = async (typed: string): Promise<void> => {
    if (!now) return typed.trim() === '' ? record() : undefined;
    if (typed.trim() === '' && s.list.length === 0 && now.ask.optional?.(scope)) return put(now.ask, now.row, { value: null, words: t('station.left_out') });
    if (await many(now.ask, now.row, typed)) return;
    // Where a machine is the answer, it is not the station's own that is meant.
    if (typed.trim() === '' || (!now.ask.kinds?.includes('machine') && setting(typed))) return;
    change({ busy: true, flash: null, blocked: null });
    const result = await read(place, now.ask, scope, here, typed, zone);
    if ('taken' in result) put(now.ask, now.row, result.taken);
    else change({ busy: false, stop: result.stop, blocked: 'blocked' in result ? result.blocked : null });
  };

  const record = async (): Promise<void> => {
    change({ busy: true, stop: null });
    const input = { ...place.input(s.given, s.rows), ...(s.why ? { remark: { why: s.why } } : {}) };
    const act = typeof place.act === 'string' ? place.act : place.act(s.given);
    const sent = await report(act, input, `${t(place.title)}: ${place.words(s.given, s.rows)}`);
    if (sent.kind === 'refused') return change({ busy: false, stop: stopOf(sent.problem, t('station.stop.look_again')) });
    const flash: Flashed = sent.kind === 'waiting'
      ? { word: 'due soon', words: t('station.kept'), sub: t('station.kept.more') }
      : { word: 'inside', words: t('station.recorded'), sub: place.words(s.given, s.rows) };
    setS({ ...fresh(), given: withRemembered(place, {}), flash, done: sent.kind === 'recorded' ? sent.done : null });
  };

  /// A report is kept even where it was not permitted; its reason is asked, and the batch is held.
  const allTheSame = (why: string): void => {
    if (why.trim() === '' || !now || !s.blocked) return;
    change({ why: why.trim() });
    put(now.ask, now.row, s.blocked);
  };

  const again = (): void => setS({ ...fresh(), given: withRemembered(place, {}) });
  const side = s.done || Object.keys(s.given).some((k) => !place.asks.find((a) => a.key === k)?.remembered) || s.rows.length
    ? <Lines title={t('station.taken')} lines={linesOf(place, s, here, now)} />
    : <Waits title={t(place.waits)} list={here?.waiting ?? []} />;
  const begun = s.rows.length > 0 || Object.keys(s.row).length > 0 || place.asks.some((a) => a.key in s.given && !a.remembered);
  const leave = { words: t('station.stop.again'), press: () => change({ stop: null, blocked: null, asks_why: false }) };
  const button = s.asks_why ? leave
    : s.blocked ? { words: t('station.same.do'), press: () => change({ stop: null, asks_why: true }) }
    : s.stop ? leave
    : begun ? { words: t('station.over'), press: again } : null;
  const context = place.asks.filter((a) => a.remembered && a.key in s.given).map((a) => s.given[a.key]?.words).join(' · ');

  return (
    <Frame title={place.title} context={context} side={side} {...(place.caution ? { caution: place.caution } : {})} button={button}>
      {s.stop ? <Stop said={s.stop} /> : s.asks_why ? <><p class="st-step">{s.blocked?.words}</p><h1 class="st-say">{t('station.same.why')}</h1><p class="st-hint">{t('station.same')}</p></> : now ? <AskWords ask={now.ask} given={scope} here={here} s={s} row={now.row ? s.rows.length + 1 : 0} pick={(code) => void submit(code)} place={place} /> : <Look s={s} place={place} record={() => void record()} />}
      {s.asks_why && s.blocked && now ? <ScanField label={t('station.type')} submit={allTheSame} /> : <ScanField label={fieldLabel(now?.ask)} submit={(text) => void submit(text)} busy={s.busy} faulty={s.stop !== null} numeric={['count', 'measure', 'measures', 'place', 'clock'].includes(now?.ask.want ?? '')} />}
      {!s.stop && <Flash taken={s.flash} />}
      {s.done?.created && !begun && <p class="st-created"><span>{t('station.write')}</span> <b class="no">{s.done.created.id}</b></p>}
    </Frame>
  );
}

const unitWords = (unit: string): string => ({ um: 'µm', Cel: '°C' })[unit] ?? unit;

function fieldLabel(ask: Ask | undefined): string {
  if (!ask) return t('station.enter');
  if (ask.unit) return t('station.type_in', { unit: unitWords(ask.unit) });
  return t(['code', 'label', 'machine', 'gauge'].includes(ask.want) ? 'station.scan' : 'station.type');
}

function AskWords({ ask, given, here, s, row, pick, place }: { ask: Ask; given: Given; here: StationHere | null; s: State; row: number; pick(code: string): void; place: Place }): JSX.Element {
  const material = ask.material?.(given);
  return (
    <>
      <p class="st-step">{row > 0 && place.row_nth ? t(place.row_nth, { n: row }) : ask.remembered ? t('station.choose.once') : t('station.step')}</p>
      <h1 class="st-say">{ask.say?.(given) ?? t(ask.ask)}</h1>
      {material && <p class="st-window">{t('station.wanted', { material })}</p>}
      {ask.hint && <p class="st-hint">{t(ask.hint)}</p>}
      {ask.optional?.(given) && <p class="st-hint">{t('station.optional')}</p>}
      {ask.want === 'scrap' && Object.keys(s.scrap).length > 0 && <p class="st-window">{scrapWords(s.scrap)}</p>}
      {s.list.length > 0 && <p class="st-window">{s.list.join(' · ')}</p>}
      {row > 1 && ask === place.rows?.[0] && place.rows_done && <p class="st-hint">{t(place.rows_done)}</p>}
      <Picks list={picksOf(ask, given, here)} choose={pick} names={ask.want === 'pick'} />
    </>
  );
}

/// Nothing is recorded before a person has looked at what was understood.
function Look({ s, place, record }: { s: State; place: Place; record(): void }): JSX.Element {
  return (
    <>
      <p class="st-step">{t('station.look')}</p>
      <h1 class="st-say">{t('station.right', { words: place.words(s.given, s.rows) })}</h1>
      {s.why && <p class="st-hint"><Mark word="hold" /> {t('station.irregular', { why: s.why })}</p>}
      <p class="st-yes"><button type="button" class="btn do" disabled={s.busy} onClick={record}><Mark word="inside" large /> {t('station.yes')}</button></p>
    </>
  );
}

function linesOf(place: Place, s: State, here: StationHere | null, now: { ask: Ask; row: boolean } | null): DoneLine[] {
  const label = (ask: Ask): string => t(ask.line ?? `station.line.${ask.key}` as Parameters<typeof t>[0]);
  const line = (ask: Ask, taken: Taken | undefined, current: boolean): DoneLine =>
    ({ word: taken ? (taken.unchecked ? 'due soon' : 'inside') : 'missing', label: label(ask), value: taken?.words ?? '', now: current });
  const head = place.asks.filter((a) => !a.skip?.(s.given, here)).map((a) => line(a, s.given[a.key], !now?.row && now?.ask === a));
  const rows = s.rows.map((r, i): DoneLine => ({ word: 'inside', label: place.row_nth ? t(place.row_nth, { n: i + 1 }) : String(i + 1), value: (place.rows ?? []).map((a) => r[a.key]?.words).join(' · ') }));
  const open = place.rows && !s.rows_over ? place.rows.map((a) => line(a, s.row[a.key], now?.row === true && now.ask === a)) : [];
  return [...head, ...rows, ...open];
}

