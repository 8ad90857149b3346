/// Approval cover: a row for each approval that is needed, a column for each of its dimensions.
import type { JSX } from 'preact';
import type { CoverRow } from '../api.ts';
import { t } from '../words.ts';
import { Marked } from './marks.tsx';
import { Thing } from './text.tsx';

export function CoverTable({ rows, title, first, more }: { rows: CoverRow[]; title: string; first: string; more: string }): JSX.Element | null {
  if (rows.length === 0) return null;
  const dimensions = rows.find((r) => r.dimensions.length > 0)?.dimensions ?? [];
  return (
    <section aria-labelledby="h-cover"><div class="head"><h2 id="h-cover">{title}</h2></div>
      <p class="soft">{more}</p>
      <div class="scrolls" tabIndex={0} role="group" aria-label={title}>
        <table class="plain"><caption class="vh">{title}</caption>
          <thead><tr><th scope="col">{first}</th>{dimensions.map((d) => <th scope="col">{d.dimension}</th>)}<th scope="col">{t('cover.words')}</th></tr></thead>
          <tbody>{rows.map((r) => <Row key={r.need} row={r} columns={dimensions.length} />)}</tbody></table>
      </div>
    </section>
  );
}

function Row({ row: r, columns }: { row: CoverRow; columns: number }): JSX.Element {
  return (
    <tr>
      <th scope="row">{r.need}</th>
      {r.dimensions.map((d) => <td><Marked word={d.word} words={d.wanted} /></td>)}
      {r.dimensions.length === 0 && columns > 0 && <td colSpan={columns}>{t('cover.none')}</td>}
      <td><Marked word={r.word} words={r.words} />{r.approval && <> <Thing kind="approval" id={r.approval} /></>}</td>
    </tr>
  );
}
