/// An oven: whether its channels stay together, its sensors, the map of its last survey.
import type { JSX } from 'preact';
import { api, type OvenPage } from '../api.ts';
import { useAsk } from '../ask.ts';
import { Permissions } from '../parts/bar.tsx';
import { Answer } from '../parts/faults.tsx';
import { Marked } from '../parts/marks.tsx';
import { Page } from '../parts/shell.tsx';
import { Figure, Head, Said, Thing } from '../parts/text.tsx';
import { t } from '../words.ts';

export function Oven({ code }: { code: string }): JSX.Element {
  const asked = useAsk(`oven ${code}`, () => api.oven(code), null);
  return <Page title={t('oven.title', { name: code })} crumbs={[{ words: t('things.title'), href: '/things' }, { words: t('oven.crumb'), code }]}><Answer asked={asked}>{(oven) => <Body oven={oven} />}</Answer></Page>;
}

function Body({ oven: o }: { oven: OvenPage }): JSX.Element {
  return (
    <>
      <h1 class="say"><Said text={o.sentence} /></h1>
      <p class="soft">{t('oven.title', { name: o.name })} · <Thing kind="machine" id={o.code} /></p>
      <section aria-labelledby="h-sensors"><Head id="h-sensors" title={t('oven.sensors')} />
        <div class="scrolls" tabIndex={0} role="group" aria-label={t('oven.sensors')}>
          <table class="plain"><caption class="vh">{t('oven.sensors')}</caption>
            <thead><tr><th scope="col">{t('recorder.channel')}</th><th scope="col">{t('recorder.use')}</th><th scope="col">{t('oven.sensor')}</th><th scope="col">{t('oven.due')}</th><th scope="col">{t('oven.drift')}</th></tr></thead>
            <tbody>{o.sensors.map((s) => <tr><th scope="row">{s.channel}</th><td>{s.role}</td><td>{s.sensor}</td><td>{s.late ? <Marked word="late" words={s.due} /> : s.due}</td><td>{s.passes ? <Marked word="outside above" words={s.drift} /> : s.drift}</td></tr>)}</tbody></table>
        </div></section>
      <Survey oven={o} />
      {o.loads.length > 0 && <Offsets oven={o} />}
      <Permissions permitted={o.permitted} />
    </>
  );
}

function Survey({ oven: o }: { oven: OvenPage }): JSX.Element {
  const s = o.survey;
  if (!s) return <p class="notice">{t('oven.no_survey')}</p>;
  return (
    <section aria-labelledby="h-survey"><Head id="h-survey" title={t('oven.survey')} note={`${s.day} – ${s.until}`} />
      <p>{s.late ? <Marked word="late" words={t('oven.survey_old')} /> : null} {s.uniformity} <span class="soft">{s.source} · <Thing kind="survey" id={s.code} /></span></p>
      <div class="scrolls" tabIndex={0} role="group" aria-label={t('oven.survey')}><Figure svg={s.map} large /></div>
    </section>
  );
}

/// Load by load, as the recordings say it.
function Offsets({ oven: o }: { oven: OvenPage }): JSX.Element {
  const channels = o.loads[0]?.offsets.map((one) => one.channel) ?? [];
  return (
    <section aria-labelledby="h-offsets"><Head id="h-offsets" title={t('oven.offsets')} />
      <p class="soft">{t('oven.offsets.more')}</p>
      <div class="scrolls" tabIndex={0} role="group" aria-label={t('oven.offsets')}>
        <table class="plain"><caption class="vh">{t('oven.offsets')}</caption>
          <thead><tr><th scope="col">{t('kind.load')}</th><th scope="col">{t('oven.when')}</th>{channels.map((c) => <th scope="col" class="num">{c}</th>)}</tr></thead>
          <tbody>{o.loads.map((l) => <tr><td><Thing kind="load" id={l.load} /></td><td>{l.when}</td>{channels.map((c) => <td class="num">{l.offsets.find((one) => one.channel === c)?.offset ?? ''}</td>)}</tr>)}</tbody></table>
      </div></section>
  );
}
