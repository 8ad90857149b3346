/// Asking the service for what a page shows, and again when the record moves on.
import { useCallback, useEffect, useRef, useState } from 'preact/hooks';
import type { Subject } from './api.ts';
import { useHeard } from './live.ts';

export interface Asked<T> {
  value: T | undefined;
  fault: unknown;
  waiting: boolean;
  again(): void;
  /// Something newer has come but is held back, so that nothing jumps under the finger.
  held: boolean;
  show(): void;
}

interface Held<T> { key: string; value?: T; fault?: unknown; waiting: boolean; held?: T }

const at_rest_ms = 4000;
let last_touch = -Infinity;
for (const kind of ['pointerdown', 'pointermove', 'keydown', 'wheel', 'touchmove']) {
  globalThis.addEventListener?.(kind, () => { last_touch = performance.now(); }, { passive: true });
}
const atRest = (): boolean => performance.now() - last_touch > at_rest_ms;

/// `key` names what is asked: another key is another question. `subject`: facts
/// about it ask again; null: all facts do; undefined: none.
export function useAsk<T>(key: string, ask: () => Promise<T>, subject?: Subject | null): Asked<T> {
  const [state, setState] = useState<Held<T>>({ key, waiting: true });
  const turn = useRef(0);
  const wanted = useRef(false);
  const asking = useRef(ask);
  asking.current = ask;

  const run = useCallback((gently: boolean) => {
    const mine = ++turn.current;
    const current = (): boolean => turn.current === mine;
    // What somebody waits for is shown, even when news about it overtakes the asking.
    if (!gently) wanted.current = true;
    const held = !wanted.current;
    setState((s) => (s.key === key ? { ...s, waiting: !held || s.value === undefined } : { key, waiting: true }));
    const done = (after: (s: Held<T>) => Held<T>): void => {
      if (!current()) return;
      wanted.current = false;
      setState(after);
    };
    asking.current().then(
      (value) => done((s) => arrived(s, key, value, held)),
      (fault: unknown) => done((s) => (held ? s : { ...s, key, fault, waiting: false })),
    );
  }, [key]);

  useEffect(() => { run(false); }, [run]);
  useHeard(subject, () => run(true));

  const show = (): void => setState(({ held, ...s }) => (held === undefined ? s : { ...s, value: held }));
  const fresh = state.key === key;
  return {
    value: fresh ? state.value : undefined, fault: fresh ? state.fault : undefined, waiting: !fresh || state.waiting,
    held: fresh && state.held !== undefined, again: () => run(false), show,
  };
}

function arrived<T>(s: { value?: T }, key: string, value: T, gently: boolean): { key: string; value: T; waiting: false; held?: T } {
  const same = JSON.stringify(s.value) === JSON.stringify(value);
  if (gently && s.value !== undefined && !same && !atRest()) return { key, value: s.value, waiting: false, held: value };
  return { key, value, waiting: false };
}
