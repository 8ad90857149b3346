/// One event stream for all tabs: a browser opens six connections to a host at most,
/// and a stream in every tab would leave none for the pages.
import { openStream, type Said } from './stream.ts';

const tabs = new Set<MessagePort>();
let connected: boolean | undefined;
let close: (() => void) | undefined;

function tell(said: Said): void {
  if ('connected' in said) connected = said.connected;
  tabs.forEach((tab) => tab.postMessage(said));
}

function join(tab: MessagePort): void {
  tabs.add(tab);
  close ??= openStream(tell);
  if (connected !== undefined) tab.postMessage({ connected } satisfies Said);
}

/// The last to leave closes the stream: who comes next may be somebody else.
function leave(tab: MessagePort): void {
  tabs.delete(tab);
  if (tabs.size > 0) return;
  close?.();
  close = connected = undefined;
}

(globalThis as unknown as { onconnect: (e: MessageEvent) => void }).onconnect = ({ ports: [tab] }) => {
  if (!tab) return;
  tab.onmessage = (e: MessageEvent<'join' | 'leave'>) => { e.data === 'join' ? join(tab) : leave(tab); };
};
