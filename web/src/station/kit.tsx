/// What every station is made of: the frame, the one field, the stop, who works here, what waits.
import type { ComponentChildren, JSX } from 'preact';
import { createContext } from 'preact';
import { useContext, useEffect, useRef, useState } from 'preact/hooks';
import { Refused, type Missing, type PersonHere, type Problem } from '../api.ts';
import { Mark } from '../parts/marks.tsx';
import { useSession, useZone } from '../session.ts';
import { known, t, type Key } from './words.ts';
import { floor, useReachable } from './net.ts';
import { personIs, reportAllTheSame, sendWaiting, settle, useReports, type Report } from './queue.ts';
import { toneStop, toneTaken } from './tone.ts';

/// One layer at a time: the work, who works here, or what waits.
export type Layer = 'work' | 'crew' | 'reports';
export const LayerContext = createContext<{ layer: Layer; show(layer: Layer): void }>({ layer: 'work', show: () => undefined });
export const useLayer = (): { layer: Layer; show(layer: Layer): void } => useContext(LayerContext);

// --- the field ---

/// Takes what a scanner or hand types; Enter ends it. It keeps the focus, so that nothing needs to be chosen.
export function ScanField({ label, submit, busy, faulty, numeric, secret }: {
  label: string; submit(text: string): void; busy?: boolean; faulty?: boolean; numeric?: boolean; secret?: boolean;
}): JSX.Element {
  const field = useRef<HTMLInputElement>(null);
  useEffect(() => { field.current?.focus(); }, [label, busy]);
  const back = (): void => {
    setTimeout(() => { if (document.activeElement === document.body) field.current?.focus(); }, 0);
  };
  // A scan that comes while the one before is asked about waits its turn; after a stop it is not for this question.
  const ahead = useRef<string[]>([]);
  useEffect(() => {
    if (busy) return;
    if (faulty) ahead.current = [];
    const text = ahead.current.shift();
    if (text !== undefined) submit(text);
  }, [busy, label, faulty]);
  const send = (e: Event): void => {
    e.preventDefault();
    const text = field.current?.value ?? '';
    if (field.current) field.current.value = '';
    if (busy) ahead.current.push(text);
    else submit(text);
  };
  return (
    <form class="st-scan" onSubmit={send}>
      <label for="st-field">{label}</label>
      {secret
        ? <input id="st-field" ref={field} type="password" autocomplete="off" aria-invalid={faulty ?? false} onBlur={back} />
        : <input id="st-field" ref={field} autocomplete="off" autocapitalize="none" spellcheck={false} enterkeyhint="done" inputMode={numeric ? 'decimal' : 'text'} aria-invalid={faulty ?? false} onBlur={back} />}
    </form>
  );
}

// --- what is said ---

export interface StopSaid { title: string; act: string; why: string[]; missing: Missing[] }
export const stopOf = (problem: Problem, act: string): StopSaid =>
  ({ title: t('station.stop.refused'), act, why: [problem.detail || problem.title, problem.expected ? t('fault.expected', { expected: problem.expected }) : '', problem.remedy ?? ''].filter(Boolean), missing: problem.missing ?? [] });

const sentence = (words: string): string => words && `${words.charAt(0).toUpperCase()}${words.slice(1)}${/[.!?]$/.test(words) ? '' : '.'}`;
const MissingWords = ({ m }: { m: Missing }): JSX.Element =>
  <p><b>{sentence(m.what)}</b> {m.who && t('missing.who', { who: m.who })} {sentence(m.how)}</p>;
const clockOf = (at: string, zone: string): string => new Date(at).toLocaleTimeString('en-GB', { timeZone: zone, hour: '2-digit', minute: '2-digit' });

/// What to do now stands larger than the reason.
export function Stop({ said }: { said: StopSaid }): JSX.Element {
  useEffect(toneStop, [said]);
  return (
    <div class="st-stop" role="alert">
      <h1><Mark word="refused" large /> {said.title}</h1>
      <div class="st-why">
        <p class="st-act">{said.act}</p>
        {said.why.map((w) => <p>{w}</p>)}
        {said.missing.map((m) => <MissingWords m={m} />)}
        <p class="soft">{t('station.stop.nothing')}</p>
      </div>
    </div>
  );
}

export interface Taken { word: string; words: string; sub?: string }
/// Big word and shape for what was understood; it needs no press.
export function Flash({ taken }: { taken: Taken | null }): JSX.Element {
  useEffect(() => { if (taken) toneTaken(); }, [taken]);
  return (
    <div class="st-flash" role="status">
      {taken && <><Mark word={taken.word} large /><p><b>{taken.words}</b>{taken.sub && <span>{taken.sub}</span>}</p></>}
    </div>
  );
}

export interface DoneLine { word: string; label: string; value: string; now?: boolean }
export function Lines({ title, lines, children }: { title: string; lines: DoneLine[]; children?: ComponentChildren }): JSX.Element {
  return (
    <>
      <h2>{title}</h2>
      <ol class="st-lines">
        {lines.map((l) => (
          <li class={l.now ? 'now' : ''} aria-current={l.now ? 'step' : undefined}>
            <Mark word={l.word} /><span>{l.label}</span><b>{l.value}</b><span class="vh">{known(`word.${l.word}`, l.word)}</span>
          </li>
        ))}
      </ol>
      {children}
    </>
  );
}

// --- who works here ---

interface Crew { login: string; number: number; duty: string }
const crew_store = 'station.crew';
const crew_kept = 6;
function readCrew(): Crew[] {
  try {
    return JSON.parse(localStorage.getItem(crew_store) ?? '[]') as Crew[];
  } catch {
    return [];
  }
}
function keepCrew(one: Crew): void {
  localStorage.setItem(crew_store, JSON.stringify([one, ...readCrew().filter((c) => c.login !== one.login)].slice(0, crew_kept)));
}

function whyNot(fault: unknown): string {
  if (fault instanceof Refused) return [fault.problem.detail || fault.problem.title, fault.problem.remedy].filter(Boolean).join(' ');
  return t('station.crew.no_network');
}

/// Two touches: this layer, then the person; the password is typed or scanned.
export function CrewLayer(): JSX.Element {
  const { session, set } = useSession();
  const { show } = useLayer();
  const reachable = useReachable();
  const [login, setLogin] = useState('');
  const [busy, setBusy] = useState(false);
  const [fault, setFault] = useState('');
  const crew = readCrew();
  const here = session?.person;
  const submit = async (text: string): Promise<void> => {
    setFault('');
    if (login === '') return setLogin(text.trim());
    setBusy(true);
    try {
      await sendWaiting();  // what the person before has waiting goes first, under their own name
      const now = await floor.signIn(login, text);
      if (now.person) keepCrew({ login, number: now.person.number, duty: now.person.duty });
      set(now);
      personIs(now.person?.number ?? null);
      show('work');
    } catch (e) {
      setFault(whyNot(e));
    }
    setBusy(false);
  };
  return (
    <div class="st-layer">
      <h1>{login === '' ? t('station.crew.title') : t('station.crew.password', { login })}</h1>
      {!reachable && <p class="st-note"><Mark word="missing" /> {t('station.crew.offline')}</p>}
      {login === '' && crew.length > 0 && (
        <ul class="st-crew">{crew.map((c) => <li><button type="button" class="btn" onClick={() => setLogin(c.login)}><b>{c.number}</b> {c.duty}</button></li>)}</ul>
      )}
      <ScanField key={login} label={t(login === '' ? 'station.crew.login' : 'sign_in.password')} submit={(text) => void submit(text)} busy={busy} faulty={fault !== ''} secret={login !== ''} />
      <p class="st-fault" role="alert">{fault}</p>
      <p class="st-back">{login !== '' && <button type="button" class="btn" onClick={() => setLogin('')}>{t('station.crew.other')}</button>} {here && <button type="button" class="btn" onClick={() => show('work')}>{t('station.crew.stay', { duty: here.duty })}</button>}</p>
    </div>
  );
}

// --- reports that wait or were refused ---

function RefusedReport({ report }: { report: Report }): JSX.Element {
  const zone = useZone();
  const [why, setWhy] = useState('');
  const id = `why-${report.token}`;
  const given = why.trim();
  return (
    <li>
      <p><Mark word="refused" /> <b>{report.words}</b> <span class="soft">{clockOf(report.at, zone)}</span></p>
      <p>{report.problem?.detail || report.problem?.title}</p>
      {report.problem?.missing?.map((m) => <MissingWords m={m} />)}
      <div class="st-settle">
        <label for={id}>{t('station.reports.why')}</label>
        <input id={id} value={why} onInput={(e) => setWhy(e.currentTarget.value)} />
        <button type="button" class="btn" disabled={given === ''} onClick={() => void reportAllTheSame(report, given)}>{t('station.reports.happened')}</button>
        <button type="button" class="btn far" disabled={given === ''} onClick={() => void settle(report, given)}>{t('station.reports.otherwise')}</button>
      </div>
    </li>
  );
}

export function ReportsLayer(): JSX.Element {
  const reports = useReports();
  const { show } = useLayer();
  const { session } = useSession();
  const zone = useZone();
  const of = (state: Report['state']): Report[] => reports.filter((r) => r.state === state);
  const [waiting, refused, settled] = [of('waiting'), of('refused'), of('settled')];
  const other = waiting.filter((r) => r.person !== session?.person?.number);
  return (
    <div class="st-layer">
      <h1>{t('station.reports.title')}</h1>
      <p class="st-note">{t('station.reports.more')}</p>
      {refused.length > 0 && <><h2>{t('station.reports.refused')}</h2><ol class="st-reports">{refused.map((r) => <RefusedReport key={r.token} report={r} />)}</ol></>}
      <h2>{t('station.reports.waiting', { n: waiting.length })}</h2>
      {other.length > 0 && <p>{t('station.reports.other', { number: other[0]?.person ?? '' })}</p>}
      <ol class="st-reports">{waiting.map((r) => <li><Mark word="missing" /> <b>{r.words}</b> <span class="soft">{clockOf(r.at, zone)}</span></li>)}</ol>
      {settled.length > 0 && <><h2>{t('station.reports.settled')}</h2><ol class="st-reports">{settled.map((r) => <li>{r.words} <span class="soft">{r.settled_why}</span></li>)}</ol></>}
      <p class="st-back"><button type="button" class="btn do" onClick={() => show('work')}>{t('station.back')}</button></p>
    </div>
  );
}

// --- the frame ---

function Network(): JSX.Element {
  const reachable = useReachable();
  const { show } = useLayer();
  const reports = useReports();
  const waiting = reports.filter((r) => r.state === 'waiting').length;
  const refused = reports.filter((r) => r.state === 'refused').length;
  return (
    <div class="st-net" role="status">
      <span class={reachable ? '' : 'st-cut'}><Mark word={reachable ? 'inside' : 'missing'} /> {t(reachable ? 'station.net.on' : 'station.net.off')}</span>
      {waiting + refused > 0 && (
        <button type="button" class={refused ? 'btn small st-refused' : 'btn small'} onClick={() => show('reports')}>
          {refused > 0 && <><Mark word="refused" /> {t('station.net.refused', { n: refused })} </>}{waiting > 0 && t('station.net.waiting', { n: waiting })}
        </button>
      )}
    </div>
  );
}

function WhoButton({ person }: { person: PersonHere | null }): JSX.Element {
  const { show } = useLayer();
  return <button type="button" class="btn st-who" onClick={() => show('crew')}>{person ? t('station.who', { number: person.number, duty: person.duty }) : t('station.who.nobody')}</button>;
}

/// After a touch the field has the focus again: the next scan must not press the button once more.
function backToField(e: Event): void {
  if (!(e.target instanceof Element) || !e.target.closest('button')) return;
  setTimeout(() => {
    const field = document.getElementById('st-field');
    if (field && document.activeElement !== field) field.focus();
  }, 0);
}

export function Frame({ title, context, children, side, caution, button }: {
  title: Key; context?: ComponentChildren; children: ComponentChildren; side?: ComponentChildren; caution?: Key; button?: { words: string; press(): void } | null;
}): JSX.Element {
  const { session } = useSession();
  const { layer } = useLayer();
  useEffect(() => { document.title = `${t(title)} · ${t('product')}`; }, [title]);
  return (
    <div class="st" onClick={backToField}>
      <header class="st-head">
        <a class="brand" href="/stations"><svg class="brandmark" aria-hidden="true"><use href="#brand" /></svg><span>{t(title)}</span></a>
        <p class="st-context">{context}</p>
        <Network />
      </header>
      {layer === 'crew' && <main class="st-main"><CrewLayer /></main>}
      {layer === 'reports' && <main class="st-main"><ReportsLayer /></main>}
      {layer === 'work' && (
        <main class="st-main st-cols">
          <div class="st-work">
            {children}
            <div class="st-buttons">
              {button ? <button type="button" class="btn" onClick={button.press}>{button.words}</button> : <span />}
              <WhoButton person={session?.person ?? null} />
            </div>
          </div>
          <section class="st-side" aria-label={t('station.side')}>
            {side}
            {caution && <p class="st-caution"><b aria-hidden="true">!</b><span>{t(caution)} {t('station.caution.rules')}</span></p>}
          </section>
        </main>
      )}
    </div>
  );
}
