/// Batches, lots and loads by their number, newest first, paged by key.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { api, type Paged } from '../api.ts';
import { useAsk } from '../ask.ts';
import { Answer } from '../parts/faults.tsx';
import { Marked } from '../parts/marks.tsx';
import { Page } from '../parts/shell.tsx';
import { Said, Thing } from '../parts/text.tsx';
import { t, type Key } from '../words.ts';

interface Row { id: string; what: string; mark: string; words: string; when: string; pads?: string }
interface Kind { kind: 'batch' | 'lot' | 'load'; title: Key; at: string; add?: { href: string; words: Key }; beside?: { href: string; words: Key }; rows(after?: string): Promise<Paged<Row>> }

const kinds: Record<'batches' | 'lots' | 'loads', Kind> = {
  batches: {
    kind: 'batch', title: 'batches.title', at: '/batches', beside: { href: '/yield', words: 'yield.title' }, add: { href: '/do/batch/open', words: 'batches.open' },
    rows: (after) => api.batches(after).then(named((r) => `${r.part} · ${r.compound}`)),
  },
  lots: {
    kind: 'lot', title: 'lots.title', at: '/lots', add: { href: '/do/lot/receive', words: 'lots.receive' },
    rows: (after) => api.lots(after).then(named((r) => `${r.material} · ${r.supplier}`)),
  },
  loads: {
    kind: 'load', title: 'loads.title', at: '/loads', add: { href: '/do/load/build', words: 'loads.build' },
    rows: (after) => api.loads(after).then(named((r) => `${r.oven} · ${r.programme}`)),
  },
};

interface Common { id: string; mark: string; words: string; when: string; pads?: string }
const named = <R extends Common>(what: (row: R) => string) => ({ rows, next }: Paged<R>): Paged<Row> => ({
  rows: rows.map((r) => ({ id: r.id, mark: r.mark, words: r.words, when: r.when, what: what(r), ...(r.pads ? { pads: r.pads } : {}) })),
  ...(next === undefined ? {} : { next }),
});

export function List({ of }: { of: keyof typeof kinds }): JSX.Element {
  const { kind, title, at, add, beside, rows } = kinds[of];
  const [after, setAfter] = useState<string | undefined>(undefined);
  const asked = useAsk(`${of} ${after ?? ''}`, () => rows(after), null);
  return (
    <Page title={t(title)} at={at}>
      <div class="sayline"><h1 class="say">{t(title)}</h1>{beside && <a class="btn" href={beside.href}>{t(beside.words)}</a>}{add && <a class="btn" href={add.href}>{t(add.words)}</a>}</div>
      <Answer asked={asked}>{(page) => (
        <>
          {page.rows.length === 0 ? <p>{t('list.none')}</p> : (
            <table class="plain"><caption class="vh">{t(title)}</caption>
              <thead><tr><th scope="col">{t('today.state')}</th><th scope="col">{t('list.number')}</th><th scope="col">{t('list.what')}</th><th scope="col">{t('list.words')}</th><th scope="col" class="num">{t('today.pads')}</th><th scope="col" class="num">{t('facts.when')}</th></tr></thead>
              <tbody>{page.rows.map((r) => <tr key={r.id}><td><Marked word={r.mark} /></td><td class="thing"><Thing kind={kind} id={r.id} /></td><td>{r.what}</td><td><Said text={r.words} /></td><td class="num">{r.pads ?? ''}</td><td class="num">{r.when}</td></tr>)}</tbody></table>
          )}
          <p class="pager">{after !== undefined && <button type="button" class="btn" onClick={() => setAfter(undefined)}>{t('list.newest')}</button>} {page.next !== undefined && <button type="button" class="btn" onClick={() => setAfter(page.next)}>{t('list.more')}</button>}</p>
        </>
      )}</Answer>
    </Page>
  );
}
