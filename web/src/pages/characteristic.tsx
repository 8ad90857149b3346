/// A characteristic of a control plan across batches or lots: run, spread, limits, results.
import type { JSX } from 'preact';
import { api, type Trend } from '../api.ts';
import { useAsk } from '../ask.ts';
import { Answer } from '../parts/faults.tsx';
import { Marked } from '../parts/marks.tsx';
import { Page } from '../parts/shell.tsx';
import { Figure, Thing } from '../parts/text.tsx';
import { t } from '../words.ts';

export function Characteristic({ plan, name }: { plan: string; name: string }): JSX.Element {
  const asked = useAsk(`trend ${plan}/${name}`, () => api.trend(plan, name), null);
  return (
    <Page title={`${plan} ${name}`} crumbs={[{ words: t('kinds.plan'), href: '/things/plan' }, { words: '', code: plan, href: `/things/plan/${encodeURIComponent(plan)}` }, { words: name }]}>
      <Answer asked={asked}>{(trend) => <Body trend={trend} />}</Answer>
    </Page>
  );
}

function Body({ trend: r }: { trend: Trend }): JSX.Element {
  return (
    <>
      <h1 class="say">{r.title}</h1>
      <p>{r.sentence}</p>
      {r.run_svg !== '' && <div class="scrolls" tabIndex={0} role="group" aria-label={t('gauge.run')}><Figure svg={r.run_svg} large /></div>}
      {r.histogram_svg !== '' && <div class="scrolls" tabIndex={0} role="group" aria-label={t('trend.spread')}><Figure svg={r.histogram_svg} large /></div>}
      {r.rows.length > 0 && (
        <div class="scrolls" tabIndex={0} role="group" aria-label={t('trend.results')}><table class="plain"><caption class="vh">{t('trend.results')}</caption>
          <thead><tr><th scope="col">{t('today.state')}</th><th scope="col">{t('gauge.when')}</th><th scope="col">{t('gauge.of')}</th><th scope="col">{t('trend.sample')}</th><th scope="col" class="num">{t('trend.result')}</th><th scope="col">{t('list.words')}</th></tr></thead>
          <tbody>{r.rows.map((row) => (
            <tr key={row.fact}><td><Marked word={row.word} words={row.word} /></td><td><a href={`/facts/${row.fact}`}>{row.when}</a></td><td class="thing"><Thing kind={row.of.kind} id={row.of.id} named /></td><td>{row.sample}</td><td class="num">{row.value}</td><td>{row.words} {row.flag}</td></tr>
          ))}</tbody></table></div>
      )}
    </>
  );
}
