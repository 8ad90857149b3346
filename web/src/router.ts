/// Addresses without hashes: the page follows the address, links stay links.
import { useEffect, useState } from 'preact/hooks';

type Listener = () => void;
const listeners = new Set<Listener>();
const tell = (): void => listeners.forEach((l) => l());

export function go(href: string): void {
  if (!leaveAllowed()) return;
  history.pushState(null, '', href);
  window.scrollTo(0, 0);
  tell();
}

/// A page with something typed asks before it is left.
let unsaved: (() => boolean) | null = null;
let ask_words = '';
const leaveAllowed = (): boolean => !unsaved?.() || window.confirm(ask_words);

export function useUnsaved(dirty: boolean, words: string): void {
  useEffect(() => {
    if (!dirty) return;
    ask_words = words;
    unsaved = () => true;
    const warn = (e: BeforeUnloadEvent): void => e.preventDefault();
    window.addEventListener('beforeunload', warn);
    return () => {
      unsaved = null;
      window.removeEventListener('beforeunload', warn);
    };
  }, [dirty]);
}
/// After a save the page may be left.
export const nothingUnsaved = (): void => { unsaved = null; };

const ours = (link: HTMLAnchorElement): boolean =>
  link.origin === location.origin && !link.pathname.startsWith('/api/') && !link.hasAttribute('download') && (link.target === '' || link.target === '_self');

function onClick(e: MouseEvent): void {
  if (e.defaultPrevented || e.button !== 0 || e.metaKey || e.ctrlKey || e.shiftKey || e.altKey) return;
  const link = e.target instanceof Element ? e.target.closest('a') : null;
  if (!link?.href || !ours(link) || (link.hash !== '' && link.pathname === location.pathname)) return;
  e.preventDefault();
  go(link.pathname + link.search + link.hash);
}

export interface Here { path: string; query: URLSearchParams }
const read = (): Here => ({ path: location.pathname, query: new URLSearchParams(location.search) });

export function useHere(): Here {
  const [here, setHere] = useState(read);
  useEffect(() => {
    const update = (): void => setHere(read());
    listeners.add(update);
    window.addEventListener('popstate', update);
    document.addEventListener('click', onClick);
    return () => {
      listeners.delete(update);
      window.removeEventListener('popstate', update);
      document.removeEventListener('click', onClick);
    };
  }, []);
  return here;
}

/// "/lots/{id}" against "/lots/R-2291" → {id: "R-2291"}; null when it is another page.
export function match(pattern: string, path: string): Record<string, string> | null {
  const wanted = pattern.split('/').filter(Boolean);
  const given = path.split('/').filter(Boolean);
  if (wanted.length !== given.length) return null;
  const slots: Record<string, string> = {};
  for (const [i, piece] of wanted.entries()) {
    const text = given[i] ?? '';
    if (piece.startsWith('{')) slots[piece.slice(1, -1)] = decodeURIComponent(text);
    else if (piece !== text) return null;
  }
  return slots;
}
