/// The record as it grows: one stream for all pages of this browser.
///
/// A browser opens six connections to a house at most, and a stream holds one
/// for good: seven open pages would leave none for asking. So one page holds
/// the stream and tells the others; when it closes, the next one takes over.
import { useEffect, useState } from 'preact/hooks';
import type { FactEvent, Subject } from './api.ts';

type Heard = (event: FactEvent | null) => void;  // null: the stream was cut, anything may have happened
type Told = { event: FactEvent | null } | { connected: boolean } | 'is anybody there?';
const hearers = new Set<Heard>();
const watchers = new Set<(connected: boolean) => void>();
const others = new BroadcastChannel('platemark-record');
let connected = true;
let cut = false;
let stream: EventSource | null = null;

function setConnected(now: boolean): void {
  connected = now;
  watchers.forEach((w) => w(now));
}

function hear(told: Told): void {
  if (told === 'is anybody there?') {
    if (stream) others.postMessage({ connected } satisfies Told);
  } else if ('connected' in told) setConnected(told.connected);
  else hearers.forEach((h) => h(told.event));
}

function tellAll(told: Told): void {
  hear(told);
  others.postMessage(told);
}

function open(): void {
  stream = new EventSource('/api/events');
  stream.addEventListener('fact', (e) => tellAll({ event: JSON.parse((e as MessageEvent<string>).data) as FactEvent }));
  stream.onopen = () => {
    tellAll({ connected: true });
    if (cut) tellAll({ event: null });
    cut = false;
  };
  stream.onerror = () => {
    cut = true;
    tellAll({ connected: false });
    // A refused stream is not asked again by the browser; this asks calmly.
    if (stream?.readyState === EventSource.CLOSED) setTimeout(open, 5000);
  };
}

export function listen(): void {
  others.onmessage = (e) => hear(e.data as Told);
  others.postMessage('is anybody there?' satisfies Told);
  // Over plain HTTP from another machine a browser gives no locks: each page has its own stream then.
  if (!('locks' in navigator)) return open();
  // Held until the page goes; the lock passes to the next page by itself.
  void navigator.locks.request('platemark-record', () => new Promise<void>((leave) => {
    open();
    addEventListener('pagehide', () => {
      stream?.close();
      stream = null;
      leave();
    }, { once: true });
  }));
  // A page that comes back from the browser's store has heard nothing meanwhile.
  addEventListener('pageshow', (e) => { if (e.persisted) location.reload(); });
}

export function useConnected(): boolean {
  const [now, setNow] = useState(connected);
  useEffect(() => {
    watchers.add(setNow);
    return () => { watchers.delete(setNow); };
  }, []);
  return now;
}

/// `subject` null: every fact matters (Today).
export function useHeard(subject: Subject | null | undefined, heard: (event: FactEvent | null) => void): void {
  const key = subject ? `${subject.kind}:${subject.id}` : subject;
  useEffect(() => {
    if (key === undefined) return;
    const listener: Heard = (event) => {
      if (event === null || key === null || event.subjects.some((s) => `${s.kind}:${s.id}` === key)) heard(event);
    };
    hearers.add(listener);
    return () => { hearers.delete(listener); };
  }, [key]);
}
