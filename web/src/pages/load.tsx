/// The cure of a load: the verdict as a sentence, the chart that proves it, what stands out on it.
import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { api, type ChartMark, type LoadPage, type Permitted, type Series } from '../api.ts';
import { useAsk } from '../ask.ts';
import { useZone } from '../session.ts';
import type { Drawn, drawCure } from '../chart/cure.ts';
import { clockAt, hoursAt, nearest, zoomed } from '../chart/scale.ts';
import { Permissions } from '../parts/bar.tsx';
import { Answer } from '../parts/faults.tsx';
import { Findings } from '../parts/findings.tsx';
import type { HeatProps } from '../parts/heat.tsx';
import { Mark } from '../parts/marks.tsx';
import { Recorder } from '../parts/recorder.tsx';
import { Page } from '../parts/shell.tsx';
import { Head, Said, Thing } from '../parts/text.tsx';
import { t } from '../words.ts';

export function Load({ id }: { id: string }): JSX.Element {
  const asked = useAsk(`load ${id}`, () => api.load(id), { kind: 'load', id });
  return (
    <Page title={t('load.title', { id })} crumbs={[{ words: t('loads.title'), href: '/loads' }, { words: t('kind.load'), code: id }]} caution>
      <Answer asked={asked}>{(load) => <Body load={load} again={asked.again} />}</Answer>
    </Page>
  );
}

/// Fetched only where a load has been recorded.
function Heat(props: HeatProps): JSX.Element | null {
  const [part, setPart] = useState<{ draw: (props: HeatProps) => JSX.Element } | null>(null);
  useEffect(() => { void import('../parts/heat.tsx').then((m) => setPart({ draw: m.Heat })); }, []);
  return part && <part.draw {...props} />;
}

const isHeat = (p: Permitted): boolean => p.act.replace('/', ' ') === 'load heat';
const isRecording = (p: Permitted): boolean => p.act.replace('/', ' ') === 'cure record';

function Body({ load: l, again }: { load: LoadPage; again(): void }): JSX.Element {
  const recorded = l.recordings.length > 0;
  const mayRecord = l.permitted.some((p) => isRecording(p) && !p.blocked?.length);
  return (
    <>
      <div class="titl one">
        <h1 class="say"><Mark word={l.word} large /> <Said text={l.sentence} /></h1>
        {l.sub && <p>{l.sub}</p>}
        <p class="soft">{l.details} · <a href={`/ovens/${l.oven.code}`}>{t('oven.title', { name: l.oven.name })}</a></p>
      </div>
      <div class="cols">
        <div>{recorded ? <Chart load={l} /> : <p class="notice">{t('load.no_recording')}</p>}</div>
        <LoadMap load={l} />
      </div>
      <div class="below">
        {l.marks.length > 0 && <Marks marks={l.marks} />}
        {l.findings.length > 0 && <Findings findings={l.findings} caption={t('load.asked')} note={l.findings_words} />}
      </div>
      {recorded && <Heat load={l.id} heat={l.heat} mayCompute={l.permitted.some((p) => isHeat(p) && !p.blocked?.length)} again={again} />}
      {recorded && <Recordings load={l} />}
      {mayRecord && <Recorder act="cure/record" about={{ load: l.id }} label={t('recorder.record', { load: l.id })} recorded={again} />}
      <Permissions permitted={l.permitted.filter((p) => !isHeat(p) && (!isRecording(p) || !mayRecord))} />
    </>
  );
}

const wholeOf = (load: LoadPage): number => load.minutes ?? load.window.minutes.at(-1) ?? 480;

/// More than a screen has; the service thins to it without losing a peak.
const columns = 1600;
function useSeries(load: LoadPage, range: [number, number]): ReturnType<typeof useAsk<Series>> {
  const whole = range[0] === 0 && range[1] === wholeOf(load);
  const facts = [...load.recordings.map((r) => r.fact), load.heat.fact ?? 0].join();  // what was computed is drawn too
  return useAsk(`series ${load.id} ${facts} ${range.join()}`, () => (whole ? api.series(load.id, undefined, undefined, columns) : api.series(load.id, range[0], range[1], columns)));
}

function Chart({ load }: { load: LoadPage }): JSX.Element {
  const [range, setRange] = useState<[number, number]>([0, wholeOf(load)]);
  const [minute, setMinute] = useState(Math.round(wholeOf(load) / 2));
  const box = useRef<HTMLDivElement>(null);
  const drawn = useRef<Drawn | null>(null);
  const [plot, setPlot] = useState<{ draw: typeof drawCure } | null>(null);
  const asked = useSeries(load, range);
  const shown = useRef<Series | undefined>(undefined);
  shown.current = asked.value ?? shown.current;
  const series = shown.current;
  const zone = useZone();

  // The plotting part is fetched only where a chart is drawn.
  useEffect(() => { void import('../chart/cure.ts').then((m) => setPlot({ draw: m.drawCure })); }, []);
  useEffect(() => {
    const measure = new ResizeObserver(([entry]) => { if (entry) drawn.current?.resize(entry.contentRect.width); });
    if (box.current) measure.observe(box.current);
    return () => measure.disconnect();
  }, []);
  useEffect(() => {
    const into = box.current;
    if (!series || !into || !plot) return;
    const words = { temperature: t('chart.temperature'), degree: t('chart.degree'), hours: t('chart.hours'), clock: t('chart.clock') };
    drawn.current = plot.draw(into, { load, series, range, words, zone, zoom: (from, to) => setRange([Math.max(0, from), Math.min(wholeOf(load), to)]) });
    return () => drawn.current?.destroy();
  }, [series, plot, zone]);
  useEffect(() => drawn.current?.cursor(minute), [minute]);

  const look = (factor: number): void => setRange(zoomed(range, factor, minute, wholeOf(load)));
  return (
    <figure class="chart">
      <div class="scrolls" tabIndex={0} role="group" aria-label={t('chart.region')}><div ref={box} class="plots" role="img" aria-label={t('chart.label', { id: load.id, sentence: load.sentence.replaceAll('**', '') })} /></div>
      <Answer asked={{ ...asked, value: series }}>{(s) => (
        <>
          <div class="chartkeys">
            <button type="button" class="btn small" onClick={() => look(0.5)}>{t('chart.closer')}</button>
            <button type="button" class="btn small" onClick={() => look(2)}>{t('chart.wider')}</button>
            <button type="button" class="btn small" onClick={() => setRange([0, wholeOf(load)])}>{t('chart.whole')}</button>
            <span class="soft">{t('chart.lines')} · {s.words}{s.decimated && ` · ${s.decimated}`}</span>
          </div>
          <ReadAt series={s} minute={minute} range={range} set={setMinute} />
          <Readings series={s} id={load.id} />
        </>
      )}</Answer>
    </figure>
  );
}

const shownValue = (v: number | null | undefined, axis = 'temperature'): string => (v === null || v === undefined ? '–' : v.toFixed(axis === 'degree' ? 3 : 1));

/// A slider reads the chart for hands without a mouse and eyes without a chart.
function ReadAt({ series, minute, range, set }: { series: Series; minute: number; range: [number, number]; set(m: number): void }): JSX.Element {
  const at = nearest(series.minutes, minute);
  const zone = useZone();
  return (
    <div class="readat">
      <label for="read-at">{t('chart.read_at')}</label>
      <input id="read-at" type="range" min={Math.ceil(range[0])} max={Math.floor(range[1])} value={minute} step={1} aria-valuetext={clockAt(series.start, minute, zone)} onInput={(e) => set(Number(e.currentTarget.value))} />
      <output for="read-at"><b>{clockAt(series.start, series.minutes[at] ?? 0, zone)}</b> {series.channels.map((c) => <span>{c.words} <b>{shownValue(c.values[at], c.axis)}</b>{c.axis !== 'degree' ? ' °C' : ''}</span>)}</output>
    </div>
  );
}

const table_every = 30;
function Readings({ series: s, id }: { series: Series; id: string }): JSX.Element {
  const zone = useZone();
  const last = s.minutes.at(-1) ?? 0;
  const first = s.minutes[0] ?? 0;
  const rows = [...new Set(Array.from({ length: Math.floor((last - first) / table_every) + 1 }, (_, i) => nearest(s.minutes, first + i * table_every)))];
  return (
    <details class="more"><summary>{t('chart.readings')}</summary>
      <div class="scrolls" tabIndex={0} role="group" aria-label={t('chart.readings')}>
        <table class="plain"><caption class="vh">{t('chart.readings_of', { id })}</caption>
          <thead><tr><th scope="col" class="num">{t('chart.hours')}</th><th scope="col" class="num">{t('chart.clock')}</th>{s.channels.map((c) => <th scope="col" class="num">{c.words}{c.axis !== 'degree' ? ' / °C' : ''}</th>)}</tr></thead>
          <tbody>{rows.map((i) => <tr><td class="num">{hoursAt(s.minutes[i] ?? 0)}</td><td class="num">{clockAt(s.start, s.minutes[i] ?? 0, zone)}</td>{s.channels.map((c) => <td class="num">{shownValue(c.values[i], c.axis)}</td>)}</tr>)}</tbody></table>
      </div></details>
  );
}

const letter = (i: number): string => String.fromCharCode(97 + i);

/// Seen from the door: highest tier on top, the batch's letter in the corner.
function LoadMap({ load: l }: { load: LoadPage }): JSX.Element {
  const tiers = [...new Set(l.clamps.map((c) => c.tier))].sort((a, b) => b - a);
  const places = [...new Set(l.clamps.map((c) => c.position))].sort((a, b) => a - b);
  return (
    <section class="loadmap" aria-labelledby="h-map"><h2 id="h-map">{t('load.map')}</h2><p class="soft">{t('load.map.more')}</p>
      <div class="scrolls" tabIndex={0} role="group" aria-label={t('load.map')}>
        <table class="map"><caption class="vh">{t('load.map')}</caption>
          <thead><tr><td />{places.map((p) => <th scope="col">{p}</th>)}</tr></thead>
          <tbody>{tiers.map((tier) => (
            <tr><th scope="row">{t('load.tier', { n: tier })}</th>{places.map((p) => {
              const c = l.clamps.find((one) => one.tier === tier && one.position === p);
              return <td class={c ? '' : 'free'}>{c && <><span class="let">{letter(l.batches.indexOf(c.batch))}</span> <b>{c.clamp}</b> <span class="src">{c.pads}</span></>}</td>;
            })}</tr>
          ))}</tbody></table>
      </div>
      <ul class="legend">{l.batches.map((b, i) => <li><b>{letter(i)}</b> <Thing kind="batch" id={b} /></li>)}</ul>
    </section>
  );
}

function Marks({ marks }: { marks: ChartMark[] }): JSX.Element {
  return (
    <section aria-labelledby="h-marks"><Head id="h-marks" title={t('load.marks')} />
      <ol class="faults">{marks.map((m) => <li>{m.n > 0 ? <span class="n">{m.n}</span> : <span />}<p><Said text={m.words} />{m.effect && <span class="soft"> {m.effect}</span>}</p></li>)}</ol></section>
  );
}

function Recordings({ load: l }: { load: LoadPage }): JSX.Element {
  return (
    <section aria-labelledby="h-files"><Head id="h-files" title={t('load.files')} />
      {l.recordings.map((r) => (
        <details class="more"><summary>{r.file}: {t('load.rows', { rows: r.rows, skipped: r.skipped })}</summary>
          <p><a href={r.href} download={r.file}>{t('load.raw')}</a> · <a href={`/facts/${r.fact}`}>{t('done.fact', { sequence: r.fact })}</a> · {t('load.layout', { layout: r.layout })}</p>
          {r.skipped_why.length > 0 && <ul class="plainlist">{r.skipped_why.map((s) => <li>{t('fault.line', { line: s.line })}: {s.why}</li>)}</ul>}
        </details>
      ))}</section>
  );
}
