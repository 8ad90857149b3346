/// What a station remembers of itself: its machine, its gauge; and lists to choose from.
import type { JSX } from 'preact';
import { Mark } from '../parts/marks.tsx';
import { Code } from '../parts/text.tsx';
import { known, t } from './words.ts';
import type { Coded, Waiting } from './net.ts';

const keyOf = (place: string, what: string): string => `station.${place}.${what}`;
export const recall = (place: string, what: string): string => localStorage.getItem(keyOf(place, what)) ?? '';
export const remember = (place: string, what: string, code: string): void => localStorage.setItem(keyOf(place, what), code);

export function Choose({ what, list, choose }: { what: 'machine' | 'gauge'; list: Coded[]; choose(code: string): void }): JSX.Element {
  return (
    <>
      <p class="st-step">{t('station.choose.once')}</p>
      <h1 class="st-say">{t(what === 'machine' ? 'station.choose.machine' : 'station.choose.gauge')}</h1>
      <Picks list={list} choose={choose} />
    </>
  );
}

export function Picks({ list, choose, names }: { list: Coded[]; choose(code: string): void; names?: boolean }): JSX.Element {
  return (
    <ul class="st-picks">
      {list.map((c) => <li><button type="button" class="btn" onClick={() => choose(c.code)}>{names ? c.name : <><Code>{c.code}</Code> {c.name}</>}{c.doubt && <span class="st-doubt"><Mark word="late" /> {c.doubt}</span>}</button></li>)}
    </ul>
  );
}

export function Waits({ title, list }: { title: string; list: Waiting[] }): JSX.Element {
  return (
    <>
      <h2>{title}</h2>
      {list.length === 0 && <p class="st-none">{t('station.nothing')}</p>}
      <ol class="st-waits">{list.map((w) => <li><span class="soft">{known(`kind.${w.kind}`, w.kind)}</span> <Code>{w.id}</Code><span>{w.words}</span></li>)}</ol>
    </>
  );
}
