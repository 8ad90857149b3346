/// Two issues of a compound beside each other: what changed, and what hangs on it.
import type { JSX } from 'preact';
import { api, type FormulaChange } from '../api.ts';
import { useAsk } from '../ask.ts';
import { Answer } from '../parts/faults.tsx';
import { Page } from '../parts/shell.tsx';
import { Head, Thing } from '../parts/text.tsx';
import { known, t } from '../words.ts';

export function Formula({ code, from, to }: { code: string; from: string; to: string }): JSX.Element {
  const asked = useAsk(`formula ${code} ${from} ${to}`, () => api.formula(code, from, to), { kind: 'compound', id: code });
  return (
    <Page title={t('formula.title', { code, from, to })} crumbs={[{ words: t('things.title'), href: '/things' }, { words: t('kinds.compound'), href: '/things/compound' }, { words: '', code, href: `/things/compound/${encodeURIComponent(code)}` }, { words: t('formula.crumb', { from, to }) }]}>
      <Answer asked={asked}>{(change) => <Change change={change} />}</Answer>
    </Page>
  );
}

const changeWords = (word: string): string => known(`formula.${word}`, word);
const lines: (keyof FormulaChange['lines'][number])[] = ['parts_before', 'parts_after', 'mass_before', 'mass_after', 'volume_before', 'volume_after'];

function Change({ change: c }: { change: FormulaChange }): JSX.Element {
  const changed = c.lines.filter((l) => l.change !== 'same').length;
  return (
    <>
      <h1 class="say">{t('formula.say', { name: c.name, from: c.before, to: c.after, n: changed })}</h1>
      <p>{c.why} <a href={`/api/export/formulas/${encodeURIComponent(c.code)}/${c.before}/${c.after}`} download>{t('export.csv')}</a></p>
      <section aria-labelledby="h-lines"><Head id="h-lines" title={t('formula.lines')} />
        <div class="scrolls" tabIndex={0} role="group" aria-label={t('formula.lines')}>
          <table class="plain"><thead><tr><th scope="col">{t('kind.material')}</th><th scope="col">{t('formula.change')}</th>{lines.map((l) => <th scope="col" class="num">{known(`formula.${l}`, l)}</th>)}</tr></thead>
            <tbody>{c.lines.map((l) => <tr key={l.material}><td><Thing kind="material" id={l.material} /> {l.name}</td><td>{l.change === 'same' ? '' : <b>{changeWords(l.change)}</b>}</td>{lines.map((m) => <td class="num">{l[m] ?? ''}</td>)}</tr>)}</tbody></table>
        </div></section>
      <Pairs id="h-properties" title={t('formula.properties')} rows={c.properties.map((p) => ({ ...p, name: p.what }))} none="" />
      <Pairs id="h-substances" title={t('formula.substances')} rows={c.substances.map((s) => ({ ...s, name: s.substance }))} none={t('formula.no_substances')} />
      <section aria-labelledby="h-lots"><Head id="h-lots" title={t('formula.lots')} />
        {c.lots.length === 0 ? <p>{t('formula.no_lots')}</p> : (
          <table class="plain"><thead><tr><th scope="col">{t('kind.lot')}</th><th scope="col">{t('kind.material')}</th><th scope="col">{t('formula.change')}</th><th scope="col" class="num">{t('formula.quantity')}</th><th scope="col">{t('formula.disposition')}</th></tr></thead>
            <tbody>{c.lots.map((l) => <tr key={l.lot}><td><Thing kind="lot" id={l.lot} /></td><td>{l.material}</td><td>{changeWords(l.change)}</td><td class="num">{l.quantity}</td><td>{known(`formula.lot.${l.disposition}`, l.disposition)}</td></tr>)}</tbody></table>)}</section>
      <p>{t('formula.parts')} {c.parts.map((p, i) => <>{i > 0 && ', '}<Thing kind="part" id={p} /></>)}</p>
    </>
  );
}

function Pairs({ id, title, rows, none }: { id: string; title: string; rows: { name: string; before: string; after: string; changed: boolean }[]; none: string }): JSX.Element {
  return (
    <section aria-labelledby={id}><Head id={id} title={title} />
      {rows.length === 0 ? <p>{none}</p> : (
        <table class="plain"><thead><tr><th scope="col">{t('formula.what')}</th><th scope="col" class="num">{t('formula.before')}</th><th scope="col" class="num">{t('formula.after')}</th><th scope="col">{t('formula.change')}</th></tr></thead>
          <tbody>{rows.map((r) => <tr key={r.name}><td>{r.name}</td><td class="num">{r.before}</td><td class="num">{r.after}</td><td>{r.changed ? <b>{changeWords('changed')}</b> : ''}</td></tr>)}</tbody></table>)}</section>
  );
}
