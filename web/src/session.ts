/// Who is here, for every page.
import { createContext } from 'preact';
import { useContext } from 'preact/hooks';
import type { Session } from './api.ts';

export interface Here { session: Session | null; set(session: Session): void }
export const SessionContext = createContext<Here>({ session: null, set: () => undefined });
export const useSession = (): Here => useContext(SessionContext);
export const useZone = (): string => useSession().session?.plant.zone ?? 'UTC';
