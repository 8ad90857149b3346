/// The record as it grows: one stream for all pages.
import { useEffect, useState } from 'preact/hooks';
import type { FactEvent, Subject } from './api.ts';
import { openStream, type Said } from './stream.ts';

type Heard = (event: FactEvent | null) => void;  // null: the stream was cut, anything may have happened
const hearers = new Set<Heard>();
const watchers = new Set<(connected: boolean) => void>();
let connected = true;
let cut = false;

function setConnected(now: boolean): void {
  connected = now;
  watchers.forEach((w) => w(now));
}

function heed(said: Said): void {
  if ('fact' in said) return hearers.forEach((h) => h(said.fact));
  if (said.connected && cut) hearers.forEach((h) => h(null));
  cut = !said.connected;
  setConnected(said.connected);
}

/// All tabs share one stream where the browser can; how to join and leave it.
function sharedStream(script: string): { join(): void; leave(): void } {
  const { port } = new SharedWorker(script, { type: 'module' });
  port.onmessage = (e: MessageEvent<Said>) => heed(e.data);
  return { join: () => port.postMessage('join'), leave: () => port.postMessage('leave') };
}

function ownStream(): { join(): void; leave(): void } {
  let close = (): void => undefined;
  return { join: () => { close = openStream(heed); }, leave: () => close() };
}

let stream: { join(): void; leave(): void } | undefined;
let listening = false;

function start(): void {
  const script = document.querySelector<HTMLMetaElement>('meta[name=stream]')?.content;
  stream = script && 'SharedWorker' in globalThis ? sharedStream(script) : ownStream();
  // A page kept for going back to would keep its connection too.
  window.addEventListener('pagehide', () => { if (listening) stream?.leave(); });
  window.addEventListener('pageshow', (e) => {
    if (!e.persisted || !listening) return;
    cut = true;
    stream?.join();
  });
}

/// Only who is signed in may hear.
export function listenWhile(signed_in: boolean): void {
  if (signed_in === listening) return;
  listening = signed_in;
  if (!signed_in) return stream?.leave();
  if (!stream) start();
  stream?.join();
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
