/// The last five scans, for every page that shows them; they last as long as the tab.
import { useEffect, useState } from 'preact/hooks';
import { Refused, api, type Found } from './api.ts';
import { cleanCode, withScan, type Scan } from './scan.ts';
import { t } from './words.ts';

const store = 'scans';
const watchers = new Set<(scans: Scan[]) => void>();
let scans: Scan[] = readStore();

function readStore(): Scan[] {
  try {
    return JSON.parse(sessionStorage.getItem(store) ?? '[]') as Scan[];
  } catch {
    return [];
  }
}

function add(scan: Scan): void {
  scans = withScan(scans, scan);
  sessionStorage.setItem(store, JSON.stringify(scans));
  watchers.forEach((w) => w(scans));
}

export function useScans(): Scan[] {
  const [now, setNow] = useState(scans);
  useEffect(() => {
    watchers.add(setNow);
    return () => { watchers.delete(setNow); };
  }, []);
  return now;
}

export interface LookUp { found?: Found; said?: string; expected?: string }

/// One look-up, remembered whatever became of it.
/// `wanted`: only these kinds are right here; another one says what it is.
export async function lookUp(typed: string, wanted?: readonly string[]): Promise<LookUp> {
  const code = cleanCode(typed);
  if (code === '') return { said: t('find.empty') };
  try {
    const found = await api.find(code);
    const good = !wanted || wanted.includes(found.kind);
    add({ code: found.id, words: found.words, href: found.href, good });
    return good ? { found } : { said: t('scan.wrong_kind', { code: found.id, words: found.words }) };
  } catch (fault) {
    if (!(fault instanceof Refused)) return { said: t('find.unreachable', { code }) };
    const { detail, title, remedy, expected } = fault.problem;
    add({ code, words: detail || title, href: null, good: false });
    return { said: [detail || title, remedy].filter(Boolean).join(' '), ...(expected ? { expected } : {}) };
  }
}
