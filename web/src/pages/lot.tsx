import type { JSX } from 'preact';
import { api, type LotCharacteristic, type LotPage } from '../api.ts';
import { useAsk } from '../ask.ts';
import { BarWords, LoneBar, Permissions, Pins } from '../parts/bar.tsx';
import { Answer } from '../parts/faults.tsx';
import { Limits } from '../parts/findings.tsx';
import { Mark, Marked } from '../parts/marks.tsx';
import { Page } from '../parts/shell.tsx';
import { Figure, Head, Said, Thing } from '../parts/text.tsx';
import { t } from '../words.ts';
import { FactTable } from './facts.tsx';

export function Lot({ id }: { id: string }): JSX.Element {
  const asked = useAsk(`lot ${id}`, () => api.lot(id), { kind: 'lot', id });
  return (
    <Page title={t('lot.title', { id })} crumbs={[{ words: t('lots.title'), href: '/lots' }, { words: t('kind.lot'), code: id }]} caution>
      <Answer asked={asked}>{(lot) => <Body lot={lot} />}</Answer>
    </Page>
  );
}

function Title({ lot: l }: { lot: LotPage }): JSX.Element {
  return (
    <div class="titl">
      <div><h1><span class="vh">{t('kind.lot')} </span>{l.id}</h1>
        <p class="kinds"><a href={`/things/material/${encodeURIComponent(l.material.code)}`}>{l.material.name}</a>, {t('issue.n', { n: l.material.issue })}</p></div>
      <div>
        <p class="verdict"><Mark word={l.mark} /> <Said text={l.sentence} /></p>
        <p class="count">{t('lot.from', { supplier: l.supplier, supplier_lot: l.supplier_lot, quantity: l.quantity, received: l.received })}</p>
        {l.use_by && <p class="count">{l.use_by_word && <Mark word={l.use_by_word} />} {t('lot.use_by', { day: l.use_by })}</p>}
        {l.holds.filter((h) => !h.lifted).map((h) => <p class="holdline"><Mark word="hold" /> {t('hold.since', { since: h.since, who: h.who, why: h.why })}</p>)}
      </div>
    </div>
  );
}

const CharacteristicRow = ({ own: c }: { own: LotCharacteristic }): JSX.Element => (
  <tr>
    <td><Marked word={c.word} words={c.word.replace(/ (above|below)$/, '')} /></td><td>{c.words}</td>
    <td class="val">{c.result ? <b>{c.result}</b> : <span class="soft">{c.figures.length > 0 ? t('finding.none_counts') : t('finding.no_result')}</span>}{c.note && <span class="src">{c.note}</span>}</td>
    <td data-l={t('lot.certificate')}>{c.certificate ?? '–'}</td>
    <td class="lies">{c.strip_svg && <Figure svg={c.strip_svg} />}</td><td><Limits limits={c.limits} /></td>
    <td class="num">{c.figures.map((s) => <><a href={`/facts/${s}`} aria-label={t('lot.fact_of', { what: c.words, sequence: s })}>{s}</a> </>)}</td>
  </tr>
);

function Own({ lot }: { lot: LotPage }): JSX.Element {
  return (
    <section aria-labelledby="h-own"><Head id="h-own" title={t('lot.own')} note={t('lot.own.more')} />
      <table class="find-t own"><caption class="vh">{t('lot.own')}</caption>
        <thead><tr><th scope="col">{t('finding.reason')}</th><th scope="col">{t('finding.characteristic')}</th><th scope="col">{t('lot.ours')}</th><th scope="col">{t('lot.certificate')}</th><th scope="col">{t('finding.where')}</th><th scope="col">{t('finding.limit')}</th><th scope="col" class="num">{t('facts.title')}</th></tr></thead>
        <tbody>{lot.own.map((c) => <CharacteristicRow own={c} />)}</tbody></table></section>
  );
}

function Sieve({ lot }: { lot: LotPage }): JSX.Element | null {
  const table = lot.sieve_table;
  if (!lot.sieve_svg && !table) return null;
  return (
    <section aria-labelledby="h-sieve"><Head id="h-sieve" title={t('lot.sieve')} note={table?.fineness} />
      <div class="sieve">
        {lot.sieve_svg && <div class="scrolls" tabIndex={0} role="group" aria-label={t('lot.sieve')}><Figure large svg={lot.sieve_svg} /></div>}
        {table && (
          <div class="scrolls" tabIndex={0} role="group" aria-label={t('lot.sieve_table')}>
            <table class="plain inner"><caption class="vh">{t('lot.sieve')}</caption>
              <thead><tr><th scope="col">{t('lot.aperture')}</th><th scope="col" class="num">{t('lot.retained')}</th><th scope="col" class="num">{t('lot.passing')}</th><th scope="col" class="num">{t('lot.band')}</th><th scope="col">{t('finding.reason')}</th></tr></thead>
              <tbody>{table.rows.map((r) => <tr><td>{r.aperture}</td><td class="num">{r.retained}</td><td class="num">{r.passing}</td><td class="num">{r.band}</td><td><Marked word={r.word} words={r.word.replace(/ (above|below)$/, '')} /></td></tr>)}</tbody></table>
            <p class="soft">{table.balance}</p>
          </div>
        )}
      </div></section>
  );
}

function Body({ lot }: { lot: LotPage }): JSX.Element {
  const { bar } = lot;
  return (
    <>
      <Title lot={lot} />
      <LoneBar bar={bar} />
      <div class="lonefacts">
        {bar.state !== 'released' && <Pins pins={bar.missing} gate={bar.title} />}
        <BarWords bar={bar} />
        {bar.judge_href && <p><a class={bar.state === 'hold' ? 'btn do' : 'btn'} href={bar.judge_href}>{bar.state === 'hold' ? t('bar.judge') : t('bar.look')}</a></p>}
      </div>
      <Own lot={lot} />
      <Sieve lot={lot} />
      <Permissions permitted={lot.permitted} />
      {lot.used_in.length > 0 && (
        <section aria-labelledby="h-used"><Head id="h-used" title={t('lot.used')} />
          <ul class="plainlist">{lot.used_in.map((u) => <li><Thing kind={u.kind} id={u.id} named /> {u.words}</li>)}</ul></section>
      )}
      <section aria-labelledby="h-facts"><Head id="h-facts" title={t('facts.title')} /><FactTable rows={lot.facts} /></section>
    </>
  );
}
