/// Reports on their way to the record. Each is kept in the browser before it is
/// sent and goes from there only when the service has said that it is on record.
/// A refused one stays until a person has settled it.
import { useEffect, useState } from 'preact/hooks';
import { Refused, Unreachable, type ActDone, type Input, type Problem } from '../api.ts';
import { newToken } from '../act.ts';
import { t } from './words.ts';
import { floor, isReachable, onReachable, serviceTime } from './net.ts';

export interface Report {
  n?: number;              // order in which they were made
  token: string;
  path: string;
  input: Input;
  at: string;
  words: string;
  person: number;
  state: 'waiting' | 'refused' | 'settled';
  waited: boolean;         // made, or last tried, without network
  problem?: Problem;
  settled_why?: string;
}
export type Sent = { kind: 'recorded'; done: ActDone } | { kind: 'waiting' } | { kind: 'refused'; problem: Problem };

const store = 'reports';
let base: Promise<IDBDatabase> | null = null;

function opened(): Promise<IDBDatabase> {
  base ??= new Promise((resolve, reject) => {
    const request = indexedDB.open('platemark-stations', 1);
    request.onupgradeneeded = () => request.result.createObjectStore(store, { keyPath: 'n', autoIncrement: true });
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  return base;
}

/// Resolves when the change is on disk, not when it was asked for.
async function inStore<T>(mode: IDBTransactionMode, work: (reports: IDBObjectStore) => IDBRequest<T>): Promise<T> {
  const database = await opened();
  return new Promise((resolve, reject) => {
    const transaction = database.transaction(store, mode, { durability: 'strict' });
    const request = work(transaction.objectStore(store));
    transaction.oncomplete = () => resolve(request.result);
    transaction.onabort = transaction.onerror = () => reject(transaction.error);
  });
}

const watchers = new Set<(reports: Report[]) => void>();
export const allReports = (): Promise<Report[]> => inStore('readonly', (s) => s.getAll() as IDBRequest<Report[]>);
async function tell(): Promise<void> {
  const reports = await allReports();
  watchers.forEach((w) => w(reports));
}
async function keep(report: Report): Promise<void> {
  await inStore('readwrite', (s) => s.put(report));
  await tell();
}
async function forget(report: Report): Promise<void> {
  await inStore('readwrite', (s) => s.delete(report.n as number));
  await tell();
}

export function useReports(): Report[] {
  const [reports, setReports] = useState<Report[]>([]);
  useEffect(() => {
    watchers.add(setReports);
    void tell();
    return () => { watchers.delete(setReports); };
  }, []);
  return reports;
}

/// The same request each time, so that the token makes a repeat safe; only the
/// reason for being late may come later, which the token does not cover.
async function sendOne(report: Report): Promise<Sent> {
  const late = report.waited ? { late_because: t('station.late_because') } : {};
  try {
    const done = await floor.act(report.path, { token: report.token, input: report.input, at: report.at, ...late });
    await forget(report);
    return { kind: 'recorded', done };
  } catch (fault) {
    if (fault instanceof Refused && fault.problem.status !== 401 && fault.problem.status < 500) {
      await keep({ ...report, state: 'refused', problem: fault.problem });
      return { kind: 'refused', problem: fault.problem };
    }
    if (!(fault instanceof Refused || fault instanceof Unreachable)) throw fault;
    if (fault instanceof Refused && fault.problem.status === 401) signed_out();
    await keep({ ...report, waited: true });
    return { kind: 'waiting' };
  }
}

let line: Promise<unknown> = Promise.resolve();
let person_here: number | null = null;
let signed_out = (): void => undefined;
/// The service no longer knows who is here; what waits goes on after the next sign-in.
export const onSignedOut = (hear: typeof signed_out): void => { signed_out = hear; };

/// Sends what waits for the person who is here, oldest first; the first that gets no answer ends the round.
async function round(only?: string): Promise<Sent> {
  let last: Sent = { kind: 'waiting' };
  for (const report of await allReports()) {
    if (report.state !== 'waiting' || report.person !== person_here) continue;
    const sent = await sendOne(report);
    if (report.token === only) last = sent;
    if (sent.kind === 'waiting') break;
  }
  return last;
}

/// One round at a time: order is kept, nothing is sent twice at once.
function inLine<T>(work: () => Promise<T>): Promise<T> {
  const next = line.then(work, work);
  line = next.catch(() => undefined);
  return next;
}
export const sendWaiting = (): Promise<unknown> => inLine(() => round());

export function personIs(number: number | null): void {
  person_here = number;
  if (number !== null) void sendWaiting();
}
onReachable((now) => { if (now) void sendWaiting(); });

/// A service that answered with a fault of its own is asked again after a while.
export function keepSending(every_ms: number): () => void {
  const timer = setInterval(() => { if (isReachable()) void sendWaiting(); }, every_ms);
  return () => clearInterval(timer);
}

/// Keeps the report, then sends it. `waiting`: it is safe here and goes by itself later.
/// A refusal that the person sees at once is theirs to mend, so it leaves the queue.
export async function report(path: string, input: Input, words: string): Promise<Sent> {
  if (person_here === null) throw new Error('a report needs a person');
  const made: Report = { token: newToken(), path, input, at: serviceTime(), words, person: person_here, state: 'waiting', waited: !isReachable() };
  await keep(made);
  if (!isReachable()) return { kind: 'waiting' };
  const sent = await inLine(() => round(made.token));
  if (sent.kind === 'refused') await withdraw(made.token);
  return sent;
}
async function withdraw(token: string): Promise<void> {
  const mine = (await allReports()).find((r) => r.token === token);
  if (mine) await forget(mine);
}

/// A person settles a refused report: it happened all the same, and why; nothing was recorded under its token.
export async function reportAllTheSame(refused: Report, why: string): Promise<Sent> {
  const again: Report = { ...refused, input: { ...refused.input, remark: { ...(refused.input.remark as object | undefined), why } }, state: 'waiting' };
  delete again.problem;
  await keep(again);
  return inLine(() => round(again.token));
}
/// Or it was entered otherwise: the report stays here, settled, with the reason.
export const settle = (refused: Report, why: string): Promise<void> => keep({ ...refused, state: 'settled', settled_why: why });
