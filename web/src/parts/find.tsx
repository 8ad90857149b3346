/// The one field that takes any code.
import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { go } from '../router.ts';
import { BurstListener } from '../scan.ts';
import { lookUp } from '../scans.ts';
import { t } from '../words.ts';

const typesText = (e: Element | null): boolean => e !== null && e.matches('input,textarea,select,[contenteditable]');

/// F2 goes to the field; a scanner needs no field at all.
function useKeys(field: { current: HTMLInputElement | null }, scanned: (code: string) => void): void {
  const act = useRef(scanned);
  act.current = scanned;
  useEffect(() => {
    const burst = new BurstListener();
    const hear = (e: KeyboardEvent): void => {
      if (e.key === 'F2') {
        e.preventDefault();
        field.current?.focus();
        field.current?.select();
      }
      if (typesText(document.activeElement) || e.ctrlKey || e.altKey || e.metaKey) return;
      const code = burst.key(e.key, e.timeStamp);
      if (code === null) return;
      e.preventDefault();
      act.current(code);
    };
    document.addEventListener('keydown', hear);
    return () => document.removeEventListener('keydown', hear);
  }, []);
}

export function Find(): JSX.Element {
  const field = useRef<HTMLInputElement>(null);
  const [said, setSaid] = useState('');
  const find = async (typed: string): Promise<void> => {
    const { found, said: fault = '' } = await lookUp(typed);
    setSaid(fault);
    if (!found) {
      field.current?.focus();
      field.current?.select();
      return;
    }
    if (field.current) field.current.value = '';
    go(found.href);
  };
  useKeys(field, find);
  return (
    <form class="find" role="search" onSubmit={(e) => { e.preventDefault(); void find(field.current?.value ?? ''); }}>
      <label for="find">{t('find.label')}</label>
      <input id="find" ref={field} autocomplete="off" autocapitalize="characters" spellcheck={false} enterkeyhint="search"
        aria-describedby="find-said" aria-invalid={said !== ''} onInput={() => setSaid('')} />
      <p id="find-said" class="findsaid" role="alert">{said}</p>
    </form>
  );
}
