/// The bench: scan a thing, take what is due, type what the instrument shows.
import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { api, type BenchOwes, type DueCharacteristic, type Evaluation, type LaboratoryDue, type Method, type MethodInput, type Subject } from '../api.ts';
import { troubleOf, useAct, type Trouble } from '../act.ts';
import { useAsk } from '../ask.ts';
import { controlId } from '../entry.ts';
import { Done, SendButton, WhenField, whenMembers, type When } from '../parts/act_form.tsx';
import { Answer, FaultBox, ProblemWords, type FieldFault } from '../parts/faults.tsx';
import { Echo, enterGoesOn } from '../parts/fields.tsx';
import { Limits, WorkingTable } from '../parts/findings.tsx';
import { Mark } from '../parts/marks.tsx';
import { Page, type Crumb } from '../parts/shell.tsx';
import { Code, Head, Said, Thing } from '../parts/text.tsx';
import { emptyReading, readable, recorded, sent, stillAsked, withChoice, withLine, withNumber, type Reading } from '../reading.ts';
import { go, useUnsaved } from '../router.ts';
import { lookUp, useScans } from '../scans.ts';
import { known, t } from '../words.ts';
import { Allowed } from './do.tsx';

const base = '/laboratory';
const subjectPath = (s: Subject): string => `${base}/${encodeURIComponent(s.kind)}/${encodeURIComponent(s.id)}`;
const crumbs = (...more: Crumb[]): Crumb[] => [{ words: t('laboratory.title'), href: base }, ...more];
const measurable = ['batch', 'lot', 'load'];

function Scans(): JSX.Element | null {
  const scans = useScans();
  if (scans.length === 0) return null;
  return (
    <section aria-labelledby="h-scans"><Head id="h-scans" title={t('scan.last')} />
      <ol class="scans">{scans.map((s) => <li class={s.good ? '' : 'wrong'}><Mark word={s.good ? 'inside' : 'refused'} /> <Code>{s.code}</Code> <span>{s.words}</span></li>)}</ol></section>
  );
}

export function Laboratory(): JSX.Element {
  const field = useRef<HTMLInputElement>(null);
  const [said, setSaid] = useState('');
  const owes = useAsk('bench', api.bench, null);
  useEffect(() => field.current?.focus(), []);
  const scan = async (e: Event): Promise<void> => {
    e.preventDefault();
    const { found, said: fault = '' } = await lookUp(field.current?.value ?? '', measurable);
    if (found) return go(subjectPath(found));
    setSaid(fault);
    field.current?.focus();
    field.current?.select();
  };
  return (
    <Page title={t('laboratory.title')} at={base}>
      <h1 class="say">{t('laboratory.say')}</h1>
      <form class="scanform" onSubmit={scan}>
        <label for="scan">{t('laboratory.scan')}</label>
        <input id="scan" ref={field} autofocus autocomplete="off" autocapitalize="characters" spellcheck={false} enterkeyhint="go" aria-describedby="scan-said" aria-invalid={said !== ''} />
        <button class="btn">{t('laboratory.go')}</button>
        <p id="scan-said" class="stopline" role="alert">{said}</p>
      </form>
      <Scans />
      <Answer asked={owes}>{(bench) => <Owed bench={bench} />}</Answer>
      <p class="caution">{t('laboratory.caution')}</p>
    </Page>
  );
}

/// What waits, the longest first: the way in when nothing is in the hand.
function Owed({ bench }: { bench: BenchOwes }): JSX.Element {
  return (
    <section aria-labelledby="h-owed"><Head id="h-owed" title={t('laboratory.waits')} />
      <p><Said text={bench.sentence} /></p>
      <ul class="due">{bench.things.map((thing) => (
        <li key={thing.kind + thing.id}>
          <div><h3><a href={subjectPath(thing)}>{thing.words}</a></h3><p class="soft">{t('laboratory.waits_since', { since: thing.since })} · {thing.since_at}</p></div>
          <div class="samples">{thing.owed.map((o) => <a class="btn" href={`${subjectPath(thing)}/${encodeURIComponent(o.characteristic)}`}>{o.words} <span class="soft">{o.counted}</span></a>)}</div>
        </li>
      ))}</ul></section>
  );
}

export function Bench({ subject }: { subject: Subject }): JSX.Element {
  const asked = useAsk(`due ${subject.kind} ${subject.id}`, () => api.due(subject), subject);
  const kind = known(`kind.${subject.kind}`, subject.kind);
  return (
    <Page title={t('laboratory.of', { kind, id: subject.id })} at={base} crumbs={crumbs({ words: kind, code: subject.id })}>
      <Answer asked={asked}>{(due) => <DueList due={due} />}</Answer>
      <Scans />
    </Page>
  );
}

const sampleHref = (due: LaboratoryDue, d: DueCharacteristic, sample: string): string =>
  `${subjectPath(due.subject)}/${encodeURIComponent(d.characteristic)}${sample ? `?sample=${encodeURIComponent(sample)}` : ''}`;

function DueList({ due }: { due: LaboratoryDue }): JSX.Element {
  return (
    <>
      <h1 class="say">{due.words}</h1>
      <p class="asof">{t('laboratory.history')} <Thing {...due.subject} named /></p>
      {due.due.length === 0 ? <p>{t('laboratory.nothing')}</p> : (
        <ul class="due">
          {due.due.map((d) => (
            <li>
              <div><h2><Mark word={d.word} /> {d.words}</h2><p class="soft">{t('laboratory.counted', { counted: d.counted })} · {d.sampling} · {known(`gate.${d.gate}`, d.gate)}</p></div>
              <div class="samples">
                {d.samples.length === 0 && <a class="btn" href={sampleHref(due, d, '')}>{t('laboratory.enter')}<span class="vh"> {d.words}</span></a>}
                {d.samples.map((s) => <a class={s.entered ? 'btn entered' : 'btn'} href={sampleHref(due, d, s.sample)}>{s.words}{s.entered && <span class="soft"> {t('laboratory.entered')}</span>}<span class="vh"> {d.words}</span></a>)}
              </div>
            </li>
          ))}
        </ul>
      )}
    </>
  );
}

/// Which sample is meant when none is named: the first without a result.
const firstOpen = (d: DueCharacteristic): string => (d.samples.find((s) => !s.entered) ?? d.samples[0])?.sample ?? '';

export function Entry({ subject, characteristic, sample }: { subject: Subject; characteristic: string; sample: string }): JSX.Element {
  const asked = useAsk(`entry ${subject.kind} ${subject.id} ${characteristic}`, async () => {
    const [due, methods] = await Promise.all([api.due(subject), api.methods()]);
    const d = due.due.find((c) => c.characteristic === characteristic);
    return { due, d, method: inUnitsOf(d, methods.find((m) => m.id === d?.method)) };
  });
  const kind = known(`kind.${subject.kind}`, subject.kind);
  const words = asked.value?.d?.words ?? characteristic;
  return (
    <Page title={t('laboratory.entry', { words, id: subject.id })} at={base} crumbs={crumbs({ words: kind, code: subject.id, href: subjectPath(subject) }, { words })}>
      <Answer asked={asked}>{({ due, d, method }) => (d && method
        ? <EntryForm key={sample} due={due} d={d} method={method} sample={sample || firstOpen(d)} again={asked.again} />
        : <p role="alert">{t('laboratory.no_method', { characteristic })}</p>)}</Answer>
    </Page>
  );
}

const compute_after_ms = 250;

/// The method with the units that this plan's limits are in; its own range is in its own unit, so it goes.
function inUnitsOf(d: DueCharacteristic | undefined, method: Method | undefined): Method | undefined {
  if (!d?.units || !method) return method;
  const inputs = method.inputs.map((i) => {
    const unit = d.units?.[i.name];
    if (unit === undefined || unit === i.unit) return i;
    const { min: _min, max: _max, ...rest } = i;
    return { ...rest, unit };
  });
  return { ...method, inputs };
}

/// Asks the method for what the texts mean, a moment after the last key.
function useEvaluation(method: Method, reading: Reading): { evaluation: Evaluation | null; trouble: Trouble | null } {
  const [state, setState] = useState<{ evaluation: Evaluation | null; trouble: Trouble | null }>({ evaluation: null, trouble: null });
  const turn = useRef(0);
  const ready = stillAsked(method, reading).length === 0 && readable(reading);
  const key = JSON.stringify(sent(method, reading));
  useEffect(() => {
    const mine = ++turn.current;
    if (!ready) return setState({ evaluation: null, trouble: null });
    const timer = setTimeout(() => {
      const { numbers, choices } = sent(method, reading);
      api.evaluate(method.id, numbers, choices).then(
        (evaluation) => { if (turn.current === mine) setState({ evaluation, trouble: null }); },
        (fault: unknown) => { if (turn.current === mine) setState({ evaluation: null, trouble: troubleOf(fault) }); },
      );
    }, compute_after_ms);
    return () => clearTimeout(timer);
  }, [key, ready]);
  return state;
}

function rangeWords({ min, max, unit = '' }: MethodInput): string {
  const u = unit === '1' ? '' : unit;
  if (min !== undefined && max !== undefined) return t('entry.between', { min, max, unit: u });
  if (min !== undefined) return t('entry.least', { min, unit: u });
  return max !== undefined ? t('entry.most', { max, unit: u }) : u;
}

function NumberInput({ input, reading, set, understood, faulty }: { input: MethodInput; reading: Reading; set(r: Reading): void; understood: string[] | undefined; faulty: ReadonlySet<string> }): JSX.Element {
  const texts = reading.numbers[input.name] ?? [];
  return (
    <div class="field reading">
      {texts.map((text, i) => {
        const path = `numbers.${input.name}[${i}]`;
        const id = controlId(path);
        const label = input.list ? t('entry.nth', { what: input.words, n: i + 1 }) : input.words;
        return (
          <div class="onereading">
            <label for={id}>{input.symbol && <i>{input.symbol}</i>} {label}{input.optional && <span class="soft"> {t('form.optional')}</span>}{i === 0 && <span class="hint">{rangeWords(input)}</span>}</label>
            <span class="withunit"><input id={id} class="number" value={text} autocomplete="off" spellcheck={false} aria-invalid={faulty.has(path)} aria-describedby={`${id}-echo`}
              onInput={(e) => set(withNumber(reading, input.name, i, e.currentTarget.value))} /><span class="unit" aria-hidden="true">{input.unit === '1' ? '' : input.unit}</span></span>
            {understood?.[i] ? <p class="echo" id={`${id}-echo`}>{t('echo.understood', { text: understood[i] })}</p> : <Echo typed={text} unit={input.unit ?? ''} id={`${id}-echo`} />}
          </div>
        );
      })}
      {input.list && <button type="button" class="btn small" onClick={() => set(withLine(reading, input.name))}>{t('entry.one_more', { what: input.words })}</button>}
    </div>
  );
}

function ChoiceInput({ input, reading, set }: { input: MethodInput; reading: Reading; set(r: Reading): void }): JSX.Element {
  const name = `choices.${input.name}`;
  return (
    <fieldset class="fset choices" id={controlId(name)} tabIndex={-1}><legend>{input.words}</legend>
      {input.choices?.map((c, i) => <div class="choice"><input type="radio" name={name} id={`${controlId(name)}-${i}`} checked={reading.choices[input.name] === c} onChange={() => set(withChoice(reading, input.name, c))} /><label for={`${controlId(name)}-${i}`}>{c}</label></div>)}
    </fieldset>
  );
}

/// The result opens its working: nothing is judged here.
function Preview({ evaluation, trouble, method }: { evaluation: Evaluation | null; trouble: Trouble | null; method: Method }): JSX.Element {
  const [open, setOpen] = useState(false);
  return (
    <section class="preview" aria-labelledby="h-preview">
      <h2 id="h-preview">{t('entry.computed')}</h2>
      <div aria-live="polite">
        {evaluation?.outputs.map((o) => (
          <p class="output"><span>{o.words}</span> <button type="button" class="bignumber" aria-expanded={open} onClick={() => setOpen(!open)}>{o.value} {o.unit === '1' ? '' : o.unit}{o.u && <small> {o.u}</small>}<span class="vh"> {t('working.open')}</span></button>
            {!o.determined && <span class="soft"> {o.why}</span>}</p>
        ))}
        {evaluation?.notes.map((n) => <p class="soft">{n}</p>)}
        {!evaluation && !trouble && <p class="soft">{t('entry.not_yet')}</p>}
        {trouble?.kind === 'unreachable' && <p>{t('entry.unreachable')}</p>}
      </div>
      {trouble?.kind === 'refused' && <div class="fault"><ProblemWords problem={trouble.problem} fields /></div>}
      {evaluation && open && (
        <div class="working">
          <p class="formula">{method.formula}</p><p class="formula">{evaluation.substituted_formula}</p>
          <WorkingTable rows={evaluation.working} />
          <p class="srcs">{t('working.method', { title: method.title, version: method.version })} {method.source} {method.source_mark && `(${method.source_mark})`} {method.validity}</p>
        </div>
      )}
    </section>
  );
}

function Gauges({ d, chosen, set }: { d: DueCharacteristic; chosen: string[]; set(codes: string[]): void }): JSX.Element | null {
  if (d.gauges.length === 0) return null;
  const toggle = (code: string): void => set(chosen.includes(code) ? chosen.filter((c) => c !== code) : [...chosen, code]);
  return (
    <fieldset class="fset choices" id="f-gauges" tabIndex={-1}><legend>{t('entry.gauge')}</legend>
      {d.gauges.map((g) => <div class="choice"><input type="checkbox" id={`gauge-${g.code}`} checked={chosen.includes(g.code)} onChange={() => toggle(g.code)} /><label for={`gauge-${g.code}`}><Code>{g.code}</Code> {g.name} <span class="calibration"><Mark word={g.word} /> {g.words}</span></label></div>)}
    </fieldset>
  );
}

function faultsOf(method: Method, reading: Reading, gauges: string[], d: DueCharacteristic, repeat: boolean, why: string): FieldFault[] {
  const name = (path: string): string => method.inputs.find((i) => path.includes(`.${i.name}`) && path.split(/[.[]/)[1] === i.name)?.words ?? path;
  const faults = stillAsked(method, reading).map((path) => ({ path, words: t('fault.empty', { what: name(path) }) }));
  if (d.gauges.length && gauges.length === 0) faults.push({ path: 'gauges', words: t('entry.gauge.missing') });
  if (repeat && why.trim() === '') faults.push({ path: 'repeat_because', words: t('entry.repeat.missing') });
  return faults;
}

function EntryForm({ due, d, method, sample, again }: { due: LaboratoryDue; d: DueCharacteristic; method: Method; sample: string; again(): void }): JSX.Element {
  const first = useRef(emptyReading(method));
  const [reading, setReading] = useState(first.current);
  const only = d.gauges.filter((g) => g.word === 'in calibration');
  const [gauges, setGauges] = useState<string[]>(d.gauges.length === 1 && only[0] ? [only[0].code] : []);
  const [why, setWhy] = useState('');
  const [when, setWhen] = useState<When>({ at: '', why: '' });
  const [missing, setMissing] = useState<FieldFault[]>([]);
  const { evaluation, trouble } = useEvaluation(method, reading);
  const doing = useAct(due.act);
  const one = d.samples.find((s) => s.sample === sample);
  const repeat = one?.entered ?? false;
  useUnsaved(reading !== first.current && doing.done === null, t('form.unsaved'));

  const submit = async (e: Event): Promise<void> => {
    e.preventDefault();
    const faults = faultsOf(method, reading, gauges, d, repeat, why);
    setMissing(faults);
    if (faults.length) return;
    const { kind, id } = due.subject;
    const input = {
      subject: { kind, id }, characteristic: d.characteristic, sample, gauges,
      ...recorded(method, reading), ...(why.trim() ? { repeat_because: why.trim() } : {}),
    };
    if (await doing.run({ input, ...whenMembers(when) })) again();
  };
  const refused = [doing.trouble, trouble].flatMap((x) => (x?.kind === 'refused' && x.problem.where?.field ? [x.problem.where.field] : []));
  const faulty = new Set([...missing.map((m) => m.path), ...refused]);
  const next = d.samples.find((s) => !s.entered && s.sample !== sample);
  const title = one ? t('entry.title', { words: d.words, sample: one.words }) : d.words;

  if (doing.done) {
    return (
      <>
        <h1 class="say">{title}</h1>
        <Done done={doing.done}>
          <p class="nextup">{next && <a class="btn do" href={sampleHref(due, d, next.sample)}>{t('entry.next', { sample: next.words })}</a>} <a class="btn" href={subjectPath(due.subject)}>{t('entry.back')}</a> <a class="btn" href={base}>{t('entry.scan')}</a></p>
        </Done>
      </>
    );
  }
  return (
    <>
      <h1 class="say">{title} <span class="soft">· <Thing {...due.subject} named /></span></h1>
      <Allowed operation="laboratory" />
      <form class="form bench" onSubmit={submit} onKeyDown={enterGoesOn} noValidate>
        <div class="inputs">
          <FaultBox trouble={doing.trouble} missing={missing} />
          {repeat && (
            <div class="notice"><p>{t('entry.repeat')}</p>
              <div class="field"><label for="f-repeat-because">{t('entry.repeat.why')}</label><input id="f-repeat-because" value={why} aria-invalid={faulty.has('repeat_because')} onInput={(e) => setWhy(e.currentTarget.value)} /></div></div>
          )}
          <Gauges d={d} chosen={gauges} set={setGauges} />
          {method.inputs.map((i) => (i.kind === 'choice'
            ? <ChoiceInput input={i} reading={reading} set={setReading} />
            : <NumberInput input={i} reading={reading} set={setReading} understood={evaluation?.understood[i.name]} faulty={faulty} />))}
          <WhenField when={when} set={setWhen} />
        </div>
        <div class="side">
          <Preview evaluation={evaluation} trouble={trouble} method={method} />
          <section class="limitbox" aria-labelledby="h-limits"><h2 id="h-limits">{t('finding.limit')}</h2><Limits limits={d.limits} /><p class="soft">{t('entry.no_judgement')}</p></section>
          <section class="limitbox" aria-labelledby="h-method"><h2 id="h-method">{method.title}</h2><p>{method.words}</p></section>
        </div>
        <p class="send"><SendButton doing={doing} label={t('entry.save')} wide /> <span class="soft">{t('form.nothing_yet')}</span></p>
      </form>
    </>
  );
}
