/// Doing something: one token a form, so that a double press or a lost answer
/// records it once.
import { useRef, useState } from 'preact/hooks';
import { Refused, Unreachable, api, type ActDone, type ActRequest, type Problem } from './api.ts';
import { nothingUnsaved } from './router.ts';

/// randomUUID wants https; a plant's own network may not have it.
export function newToken(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return [...bytes].map((b) => b.toString(16).padStart(2, '0')).join('');
}

export type Trouble = { kind: 'refused'; problem: Problem } | { kind: 'unreachable' };
export const troubleOf = (fault: unknown): Trouble => {
  if (fault instanceof Refused) return { kind: 'refused', problem: fault.problem };
  if (fault instanceof Unreachable) return { kind: 'unreachable' };
  throw fault;
};

export interface Doing {
  sending: boolean;
  trouble: Trouble | null;
  done: ActDone | null;
  run(request: Omit<ActRequest, 'token'>): Promise<ActDone | null>;
  forget(): void;
}

export function useAct(path: string): Doing {
  const token = useRef(newToken());
  const busy = useRef(false);
  const [state, setState] = useState<{ sending: boolean; trouble: Trouble | null; done: ActDone | null }>({ sending: false, trouble: null, done: null });

  const run = async (request: Omit<ActRequest, 'token'>): Promise<ActDone | null> => {
    if (busy.current) return null;
    busy.current = true;
    setState({ sending: true, trouble: null, done: null });
    try {
      const done = await api.act(path, { token: token.current, ...request });
      token.current = newToken();
      nothingUnsaved();
      setState({ sending: false, trouble: null, done });
      return done;
    } catch (fault) {
      setState({ sending: false, trouble: troubleOf(fault), done: null });
      return null;
    } finally {
      busy.current = false;
    }
  };
  return { ...state, run, forget: () => setState({ sending: false, trouble: null, done: null }) };
}
