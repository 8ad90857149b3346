/// The service's event stream, opened once for whoever wants to hear.
import type { FactEvent } from './api.ts';

export type Said = { connected: boolean } | { fact: FactEvent };

/// Returns how to end it. A refused stream is not asked again by the browser; this asks calmly.
export function openStream(say: (said: Said) => void): () => void {
  const again_after_ms = 5000;
  let timer: ReturnType<typeof setTimeout> | undefined;
  const open = (): EventSource => {
    const source = new EventSource('/api/events');
    source.addEventListener('fact', (e) => say({ fact: JSON.parse((e as MessageEvent<string>).data) as FactEvent }));
    source.onopen = () => say({ connected: true });
    source.onerror = () => {
      say({ connected: false });
      if (source.readyState === EventSource.CLOSED) timer = setTimeout(() => { stream = open(); }, again_after_ms);
    };
    return source;
  };
  let stream = open();
  return () => {
    clearTimeout(timer);
    stream.close();
  };
}
