/// What the pads of a load saw: computed as a job, the worst pads with their places, what another
/// programme or a rework cure would have done.
import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { api, type LoadHeat, type ReworkCure, type WhatIf } from '../api.ts';
import { newToken, troubleOf, type Trouble } from '../act.ts';
import { t } from '../words.ts';
import { FaultBox, MissingList } from './faults.tsx';
import { Figure, Head, Thing } from './text.tsx';

export interface HeatProps { load: string; heat: LoadHeat; mayCompute: boolean; again(): void }

export function Heat({ load, heat, mayCompute, again }: HeatProps): JSX.Element {
  const missing = heat.missing ?? [];
  return (
    <section class="heat" aria-labelledby="h-heat"><Head id="h-heat" title={t('heat.title')} />
      {heat.computed ? <Worst heat={heat} /> : <p>{t('heat.not_yet')}</p>}
      {missing.length > 0 && <MissingList missing={missing} />}
      {mayCompute && missing.length === 0 && <Compute load={load} computed={heat.computed} again={again} />}
      {heat.computed && <Questions load={load} key={heat.fact} />}
    </section>
  );
}

function Worst({ heat }: { heat: LoadHeat }): JSX.Element {
  return (
    <>
      <p><b>{heat.sentence}</b></p>
      {heat.indication && <p class="notice">{heat.indication}</p>}
      {(heat.doubts ?? []).length > 0 && <div class="notice"><h3>{t('heat.doubts')}</h3><ul class="plainlist">{heat.doubts?.map((d) => <li>{d}</li>)}</ul></div>}
      <div class="scrolls" tabIndex={0} role="group" aria-label={t('heat.worst')}>
        <table class="plain"><caption class="vh">{t('heat.worst')}</caption>
          <thead><tr><th scope="col">{t('heat.what')}</th><th scope="col">{t('heat.value')}</th><th scope="col">{t('heat.margin')}</th><th scope="col">{t('heat.where')}</th><th scope="col">{t('kind.batch')}</th></tr></thead>
          <tbody>{heat.worst?.map((w) => <tr><th scope="row">{w.what}</th><td>{w.value}</td><td>{w.margin}</td><td>{w.where}</td><td><Thing kind="batch" id={w.batch} /></td></tr>)}</tbody></table>
      </div>
      {heat.map && <div class="scrolls" tabIndex={0} role="group" aria-label={t('heat.map')}><Figure svg={heat.map} large /></div>}
      <p class="soft">{heat.rests} <a href={`/facts/${heat.fact}`}>{t('done.fact', { sequence: heat.fact ?? 0 })}</a></p>
    </>
  );
}

const ask_every_ms = 400;

/// The service computes; the page asks how far it is.
function Compute({ load, computed, again }: { load: string; computed: boolean; again(): void }): JSX.Element {
  const [job, setJob] = useState<string | null>(null);
  const [share, setShare] = useState(0);
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  useEffect(() => {
    if (job === null) return;
    const timer = setInterval(() => {
      api.job(job).then((j) => {
        setShare(j.share);
        if (j.done) { setJob(null); again(); }
      }, (fault: unknown) => { setJob(null); setTrouble(troubleOf(fault)); });
    }, ask_every_ms);
    return () => clearInterval(timer);
  }, [job]);
  const begin = (): void => {
    setTrouble(null);
    setShare(0);
    api.beginHeat(load, newToken()).then((j) => setJob(j.job), (fault: unknown) => setTrouble(troubleOf(fault)));
  };
  return (
    <>
      {job === null
        ? <button type="button" class="btn" onClick={begin}>{t(computed ? 'heat.compute_again' : 'heat.compute')}</button>
        : <div class="progress"><label for="heat-share">{t('heat.computing')}</label><progress id="heat-share" max={1} value={share} /><button type="button" class="btn small" onClick={() => { void api.cancelJob(job); }}>{t('heat.stop')}</button></div>}
      {trouble && <FaultBox trouble={trouble} />}
    </>
  );
}

function Questions({ load }: { load: string }): JSX.Element {
  const [longer, setLonger] = useState(0);
  const [hotter, setHotter] = useState(0);
  const [told, setTold] = useState<WhatIf | null>(null);
  const [rework, setRework] = useState<ReworkCure | null>(null);
  const [shorter, setShorter] = useState('');
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const failed = (fault: unknown): void => setTrouble(troubleOf(fault));
  return (
    <details class="more"><summary>{t('heat.questions')}</summary>
      <div class="whatif">
        <label for="longer">{t('heat.longer', { n: longer })}</label>
        <input id="longer" type="range" min={-60} max={120} step={5} value={longer} onInput={(e) => setLonger(Number(e.currentTarget.value))} />
        <label for="hotter">{t('heat.hotter', { n: hotter })}</label>
        <input id="hotter" type="range" min={-20} max={20} step={1} value={hotter} onInput={(e) => setHotter(Number(e.currentTarget.value))} />
        <button type="button" class="btn small" onClick={() => { api.whatIf(load, longer, hotter).then(setTold, failed); }}>{t('heat.ask')}</button>
        <button type="button" class="btn small" onClick={() => { api.reworkCure(load).then(setRework, failed); }}>{t('heat.ask_rework')}</button>
        <button type="button" class="btn small" onClick={() => { api.shorterSoak(load).then((s) => setShorter(s.sentence), failed); }}>{t('heat.ask_shorter')}</button>
      </div>
      {told && (
        <table class="plain"><caption>{t('heat.told')}</caption>
          <thead><tr><th scope="col">{t('heat.what')}</th><th scope="col">{t('heat.now')}</th><th scope="col">{t('heat.then')}</th></tr></thead>
          <tbody>{told.rows.map((r) => <tr><th scope="row">{r.what}</th><td>{r.now}</td><td>{r.then}</td></tr>)}</tbody></table>
      )}
      {shorter && <p><b>{shorter}</b></p>}
      {rework && (
        <>
          <p><b>{rework.sentence}</b></p>
          <table class="plain"><caption>{t('heat.rework')}</caption>
            <thead><tr><th scope="col">{t('heat.minutes')}</th><th scope="col">{t('heat.degree')}</th><th scope="col">{t('heat.u')}</th></tr></thead>
            <tbody>{rework.rows.map((r) => <tr><td>{r.minutes}</td><td>{r.degree}</td><td>{r.u}</td></tr>)}</tbody></table>
          {rework.instruction && rework.batch && <p><a class="btn" href={`/do/rework/order?batch=${encodeURIComponent(rework.batch)}&gate=cure&instruction=${encodeURIComponent(rework.instruction)}`}>{t('heat.order')}</a></p>}
        </>
      )}
      {trouble && <FaultBox trouble={trouble} />}
      <p class="soft">{t('heat.questions.more')}</p>
    </details>
  );
}
