/// A station drawn again without network: its files, and who worked there. Browsers keep files only
/// for pages over https or on the machine itself; elsewhere a reload waits for the network.
import type { Session } from '../api.ts';

const key = 'station.session';

/// Tells the worker which files this station has loaded.
export async function keepShell(): Promise<void> {
  if (!('serviceWorker' in navigator)) return;
  try {
    await navigator.serviceWorker.register('/shell.js');
    const ready = await navigator.serviceWorker.ready;
    const loaded = performance.getEntriesByType('resource').map((r) => new URL(r.name).pathname).filter((p) => p.startsWith('/assets/'));
    ready.active?.postMessage([...new Set(loaded)]);
  } catch {
    // A browser that keeps nothing still has the queue.
  }
}

/// Who signed in in this tab; the service is asked again as soon as it answers, and decides.
export const rememberSession = (session: Session): void => sessionStorage.setItem(key, JSON.stringify(session));
export function recallSession(): Session | null {
  const kept = sessionStorage.getItem(key);
  return kept ? JSON.parse(kept) as Session : null;
}
