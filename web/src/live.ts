/// The record as it grows: one stream for all pages.
import { useEffect, useState } from 'preact/hooks';
import type { FactEvent, Subject } from './api.ts';

type Heard = (event: FactEvent | null) => void;  // null: the stream was cut, anything may have happened
const hearers = new Set<Heard>();
const watchers = new Set<(connected: boolean) => void>();
let connected = true;
let cut = false;

function setConnected(now: boolean): void {
  connected = now;
  watchers.forEach((w) => w(now));
}

export function listen(): void {
  const stream = new EventSource('/api/events');
  stream.addEventListener('fact', (e) => {
    const event = JSON.parse((e as MessageEvent<string>).data) as FactEvent;
    hearers.forEach((h) => h(event));
  });
  stream.onopen = () => {
    setConnected(true);
    if (cut) hearers.forEach((h) => h(null));
    cut = false;
  };
  stream.onerror = () => {
    cut = true;
    setConnected(false);
    // A refused stream is not asked again by the browser; this asks calmly.
    if (stream.readyState === EventSource.CLOSED) setTimeout(listen, 5000);
  };
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
    const hear: Heard = (event) => {
      if (event === null || key === null || event.subjects.some((s) => `${s.kind}:${s.id}` === key)) heard(event);
    };
    hearers.add(hear);
    return () => { hearers.delete(hear); };
  }, [key]);
}
