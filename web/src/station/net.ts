/// The service as a station asks it: short waits, and the service's own clock.
/// A station that cannot reach it says so and never guesses an answer.
import { useEffect, useState } from 'preact/hooks';
import { Refused, Unreachable, type ActDone, type Missing, type PressLog, type Problem, type Session } from '../api.ts';

export interface Waiting { kind: string; id: string; words: string }
/// A press with several places for a tool has stations.
export interface Coded { code: string; name: string; doubt?: string; stations?: string[] }
export interface StationHere { place: string; now: string; as_of: string; waiting: Waiting[]; machines: Coded[]; gauges: Coded[]; materials: Coded[] }
/// What the part asks of one finishing operation.
export interface NeedHere {
  operation: string; materials: { material: string; counted: boolean }[];
  print: string; spots: { place: string; threshold: string; material: string }[];
}
export interface CodeHere {
  kind: string; id: string; words: string; missing: Missing[];
  pads?: number; plate?: string; adhesive?: string; operations?: string[]; bakes?: string[]; needs?: NeedHere[]; material?: string; batches?: string[];
  /// Codes of the compounds of a batch with an underlayer, that of the friction layer first.
  layers?: string[];
  /// The press programme that the route names; empty when it names none.
  press_programme?: string;
}
export type LineWord = 'missing' | 'inside' | 'outside above' | 'outside below';
export interface SheetLine {
  material: string; name: string; wanted: string; tolerance: string; least: string; most: string;
  still: string; weighed: string; word: LineWord; open: boolean; lots: string[];
}
export interface KnownLot { lot: string; material: string; may: boolean; why: string }
export interface Sheet {
  id: string; batch: string; compound: string; issue: number; machine: string; mass: string; finished: boolean; minutes: number;
  left: number; lines: SheetLine[]; lots: KnownLot[]; as_of: string;
}
export interface Trial { word: LineWord; understood: string; total: string; off: string; least: string; most: string }
export interface Shift {
  now: string; fact: number;
  steps: { step: string; batches: { batch: string; part: string; pads: string; since: string }[] }[];
  holds: { kind: string; id: string; why: string; since: string }[];
  on_hold: { batch: string; part: string; pads: string; why: string; who: string; since: string }[];
  loads: { load: string; oven: string; programme: string; batches: string[]; pads: string; since: string; recorded: boolean }[];
  lots: { lot: string; material: string; why: string; who: string; since: string }[];
  mixes: { mix: string; batch: string; machine: string; weighings: number; since: string }[];
  presses: PressLog[];
  late: { word: string; what: string; kind: string; id: string; hangs: string; who: string; by: string }[];
}

const answer_within_ms = 4000;
const try_again_ms = 2000;

let reachable = true;
let ahead_ms = 0;  // of the service's clock
const watchers = new Set<(now: boolean) => void>();

function setReachable(now: boolean): void {
  if (now === reachable) return;
  reachable = now;
  watchers.forEach((w) => w(now));
}
export const isReachable = (): boolean => reachable;

export function useReachable(): boolean {
  const [now, setNow] = useState(reachable);
  useEffect(() => {
    watchers.add(setNow);
    return () => { watchers.delete(setNow); };
  }, []);
  return now;
}
export function onReachable(then: (now: boolean) => void): () => void {
  watchers.add(then);
  return () => { watchers.delete(then); };
}

/// Tablets' clocks run away: times of reports are told on the service's clock.
export const noteServiceTime = (now: string): void => { ahead_ms = Date.parse(now) - Date.now(); };
export const serviceTime = (): string => `${new Date(Date.now() + ahead_ms).toISOString().slice(0, 19)}Z`;

async function problemOf(response: Response): Promise<Problem> {
  const bare = { title: response.statusText, status: response.status, detail: '', code: `http.${response.status}` };
  try {
    return { ...bare, ...(await response.json() as Partial<Problem>) };
  } catch {
    return bare;
  }
}

async function ask<T>(path: string, init: RequestInit = {}): Promise<T> {
  const stop = new AbortController();
  const alarm = setTimeout(() => stop.abort(), answer_within_ms);
  try {
    const response = await fetch(path, { credentials: 'same-origin', ...init, signal: stop.signal });
    setReachable(true);
    if (!response.ok) throw new Refused(await problemOf(response));
    return await response.json() as T;
  } catch (fault) {
    if (fault instanceof Refused) throw fault;
    setReachable(false);
    throw new Unreachable(String(fault));
  } finally {
    clearTimeout(alarm);
  }
}

const send = <T>(path: string, body: unknown): Promise<T> =>
  ask<T>(path, { method: 'POST', headers: { 'X-Platemark': '1', 'Content-Type': 'application/json' }, body: JSON.stringify(body) });
const part = encodeURIComponent;

export const floor = {
  station: async (place: string): Promise<StationHere> => {
    const here = await ask<StationHere>(`/api/stations/${part(place)}`);
    noteServiceTime(here.now);
    return here;
  },
  code: (place: string, code: string, material = ''): Promise<CodeHere> =>
    ask(`/api/stations/${part(place)}/code?${new URLSearchParams({ code, material })}`),
  sheet: (mix: string): Promise<Sheet> => ask(`/api/mixes/${part(mix)}`),
  tryMass: (mix: string, material: string, mass: string): Promise<Trial> =>
    ask(`/api/mixes/${part(mix)}/try?${new URLSearchParams({ material, mass })}`),
  shift: (): Promise<Shift> => ask('/api/shift'),
  session: (): Promise<Session> => ask('/api/session'),
  signIn: (login: string, password: string): Promise<Session> => send('/api/session', { login, password }),
  act: (path: string, body: unknown): Promise<ActDone> => send(`/api/acts/${path.split('/').map(part).join('/')}`, body),
};

/// Looks whether the service is back, as long as it is away.
export function watchNetwork(): () => void {
  const probe = (): void => { floor.session().catch(() => undefined); };
  const timer = setInterval(() => { if (!reachable) probe(); }, try_again_ms);
  const gone = (): void => setReachable(false);
  window.addEventListener('online', probe);
  window.addEventListener('offline', gone);
  return () => {
    clearInterval(timer);
    window.removeEventListener('online', probe);
    window.removeEventListener('offline', gone);
  };
}
