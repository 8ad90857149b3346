/// One event stream for all tabs: a browser opens six connections to a host at most,
/// and a stream in every tab would leave none for the pages.
import { openStream, type Said } from './stream.ts';

const tabs = new Set<MessagePort>();
let connected: boolean | undefined;

openStream((said: Said) => {
  if ('connected' in said) connected = said.connected;
  tabs.forEach((tab) => tab.postMessage(said));
});

function join(tab: MessagePort): void {
  tabs.add(tab);
  if (connected !== undefined) tab.postMessage({ connected } satisfies Said);
}

(globalThis as unknown as { onconnect: (e: MessageEvent) => void }).onconnect = ({ ports: [tab] }) => {
  if (!tab) return;
  tab.onmessage = (e: MessageEvent<'join' | 'leave'>) => { e.data === 'join' ? join(tab) : tabs.delete(tab); };
};
