/// The batch's history: one line drawn downwards, joined, counted, stopped at its bars.
import type { JSX } from 'preact';
import { api, type Bar, type BatchPage, type HistoryStep, type PlannedStep } from '../api.ts';
import { useAsk } from '../ask.ts';
import { BarWords, Permissions, Pins } from '../parts/bar.tsx';
import { CoverTable } from '../parts/cover.tsx';
import { Answer } from '../parts/faults.tsx';
import { Findings } from '../parts/findings.tsx';
import { Mark } from '../parts/marks.tsx';
import { Page } from '../parts/shell.tsx';
import { Code, Figure, Said, Thing } from '../parts/text.tsx';
import { Fan, Join, Leave, NotYetKnot, Plain, Plait } from '../parts/thread.tsx';
import { t } from '../words.ts';

export function Batch({ id }: { id: string }): JSX.Element {
  const asked = useAsk(`batch ${id}`, () => api.batch(id), { kind: 'batch', id });
  return (
    <Page title={t('batch.title', { id })} crumbs={[{ words: t('batches.title'), href: '/batches' }, { words: t('kind.batch'), code: id }]} caution>
      <Answer asked={asked}>{(batch) => <History batch={batch} />}</Answer>
    </Page>
  );
}

function Title({ batch: b }: { batch: BatchPage }): JSX.Element {
  return (
    <div class="titl">
      <div>
        <h1><span class="vh">{t('kind.batch')} </span>{b.id}</h1>
        <p class="kinds"><a href={`/things/part/${encodeURIComponent(b.part.code)}`}>{b.part.code}</a> · <a href={`/things/compound/${encodeURIComponent(b.compound.code)}`}>{b.compound.name}</a>, {t('issue.n', { n: b.compound.issue })}{b.underlayer && <> · {t('batch.underlayer')} <a href={`/things/compound/${encodeURIComponent(b.underlayer.code)}`}>{b.underlayer.name}</a>, {t('issue.n', { n: b.underlayer.issue })}</>}</p>
        <p class="kinds"><a href={`/things/plan/${encodeURIComponent(b.plan.code)}`}>{t('batch.plan', { code: b.plan.code, n: b.plan.issue })}</a></p>
      </div>
      <div>
        <p class="verdict"><Mark word={b.mark} /> <Said text={b.sentence} /></p>
        <p class="count">{b.counts_sentence}</p>
        {b.holds.filter((h) => !h.lifted).map((h) => <p class="holdline"><Mark word="hold" /> {t('hold.since', { since: h.since, who: h.who, why: h.why })} <a href={`/facts/${h.fact}`}>{t('done.fact', { sequence: h.fact })}</a></p>)}
      </div>
    </div>
  );
}

function Gutter({ step, batch, strands, first }: { step: HistoryStep; batch: BatchPage; strands: number; first: boolean }): JSX.Element {
  const second = step.corrects !== undefined;
  const { plate_lot, adhesive_lot, loads } = batch.joins;
  const load = step.join === 'load' ? loads.find((l) => l.load === step.load) ?? loads[0] : undefined;
  const style = load ? 'gut plait' : strands > 1 ? `gut ply ply${Math.min(strands, 3)}` : first ? 'gut starts' : 'gut';
  const joins = [...(plate_lot ? [{ lot: plate_lot, words: t('thread.plates') }] : []), ...(adhesive_lot ? [{ lot: adhesive_lot, words: t('thread.adhesive') }] : [])];
  if (load) return <div class={style}><Plait others={load.others} second={second} /></div>;
  if (step.join === 'plates' && joins.length) return <div class={style}><Join joins={joins} second={second} /></div>;
  return <div class={style}>{step.leaving.length ? <Leave leaving={step.leaving} second={second} /> : <Plain second={second} />}</div>;
}

/// On a narrow page the gutter has no room for words: what left is said in the row.
const leavingWords = (step: HistoryStep): string => step.leaving.map((l) => `${l.count} ${l.why}`).join(', ');

function StepRow({ step: s, batch, strands, first, same_day }: { step: HistoryStep; batch: BatchPage; strands: number; first: boolean; same_day: boolean }): JSX.Element {
  return (
    <li class={s.corrected_by ? 'row corrected' : 'row'}>
      <Gutter step={s} batch={batch} strands={strands} first={first} />
      <div class="fact">
        <time>{s.day && !same_day && <b>{s.day}</b>}{s.when}</time>
        <div class="what">
          <h3><a class="factlink" href={`/facts/${s.fact}`} aria-label={t('step.fact', { title: s.title, sequence: s.fact })}><b>{s.title}</b></a>{s.words} {s.links.map((l) => <><Thing {...l} named /> </>)}</h3>
          {s.leaving.length > 0 && <p class="narrowonly soft">{leavingWords(s)}</p>}
          {s.corrected_by && <p class="soft">{t('step.corrected')} <a href={`/facts/${s.corrected_by}`}>{t('done.fact', { sequence: s.corrected_by })}</a></p>}
          {s.corrects && <p class="soft">{t('step.corrects')} <a href={`/facts/${s.corrects}`}>{t('done.fact', { sequence: s.corrects })}</a></p>}
          {s.irregular.length > 0 && <p class="irregular"><Mark word="overtaken" /> <b>{t('step.irregular')}</b> {s.irregular.join('; ')}</p>}
        </div>
        {s.strips.slice(0, 2).map((e) => <div class="ev"><p class="cap"><span>{e.caption}</span> <b>{e.value}</b></p><Figure svg={e.svg} /></div>)}
      </div>
    </li>
  );
}

function Ingredients({ batch, first }: { batch: BatchPage; first: boolean }): JSX.Element {
  const lots = batch.joins.ingredient_lots;
  const noted = lots.filter((l) => l.note);
  return (
    <li class="row">
      <div class={first ? 'gut none' : 'gut'}><Fan lots={lots} /></div>
      <div class="fact"><span />
        <div class="what wide">
          <h3><b>{t('thread.lots', { n: lots.length })}</b>{noted.map((l) => <> · <Thing kind="lot" id={l.lot} /> {l.note}</>)}</h3>
          <details class="more"><summary>{t('thread.lots.open')}</summary><ul class="lotlist">{lots.map((l) => <li><Thing kind="lot" id={l.lot} /> {l.material}</li>)}</ul></details>
        </div>
      </div>
    </li>
  );
}

/// Strands of the mixes run from the mixing to the press.
function strandsAt(steps: HistoryStep[], at: number): number {
  const mixed = steps.findLastIndex((s, i) => i <= at && s.mixes !== undefined);
  if (mixed < 0) return 1;
  const pressed = steps.findIndex((s, i) => i > mixed && s.mixes === undefined);
  return pressed >= 0 && at >= pressed ? 1 : steps[mixed]?.mixes ?? 1;
}

function Steps({ steps, batch, label, begins }: { steps: HistoryStep[]; batch: BatchPage; label: string; begins: boolean }): JSX.Element | null {
  const fan = begins && batch.joins.ingredient_lots.length > 0;
  const named = steps.findIndex((s) => s.join === 'ingredients');
  const fan_at = Math.max(named, 0);
  if (steps.length === 0 && !fan) return null;
  return (
    <>
    <h2 class="vh">{label}</h2>
    <ol class="thread">
      {steps.length === 0 && fan && <Ingredients batch={batch} first />}
      {steps.map((s, i) => (
        <>
          {fan && i === fan_at && <Ingredients batch={batch} first={i === 0} />}
          <StepRow key={s.fact} step={s} batch={batch} strands={strandsAt(steps, i)} same_day={i > 0 && steps[i - 1]?.day === s.day} first={begins && i === 0 && !(fan && fan_at === 0)} />
        </>
      ))}
    </ol>
    </>
  );
}

function Planned({ planned }: { planned: PlannedStep[] }): JSX.Element | null {
  if (planned.length === 0) return null;
  return (
    <>
    <h2 class="vh">{t('thread.planned')}</h2>
    <ol class="thread after next">
      {planned.map((p) => (
        <li class="row"><div class="gut todo"><NotYetKnot /></div>
          <div class="fact"><time>{p.day && <b>{p.day}</b>}{p.when ?? ''}</time><h3 class="what"><b>{p.title}</b>{p.words}</h3></div></li>
      ))}
    </ol>
    </>
  );
}

const dashed = (bar: Bar): boolean => bar.state === 'hold' || bar.state === 'not yet';

function BarRow({ bar, batch, last }: { bar: Bar; batch: BatchPage; last: boolean }): JSX.Element {
  const findings = <Findings findings={bar.findings} caption={t('finding.at', { gate: bar.title })} note={bar.findings_words} />;
  const open = bar.state === 'hold' || bar.state === 'refused';
  return (
    <section class={`barpart ${bar.state.replace(' ', '-')}${dashed(bar) ? ' after' : ''}`} aria-label={bar.title}>
      <div class="barrow" aria-hidden="true"><span class="stem" /><span class="bar" /></div>
      <div class="row"><div class="gut todo">{dashed(bar) && <span class="notyet">{t('thread.not_yet')}</span>}</div>
        <div class="facts">
          {open ? <Pins pins={bar.missing} gate={bar.title} /> : null}
          <BarWords bar={bar} />
          {bar.judge_href && <p><a class={bar.state === 'hold' ? 'btn do' : 'btn'} href={bar.judge_href}>{bar.state === 'hold' ? t('bar.judge') : t('bar.look')}</a></p>}
          {open ? findings : bar.findings.length > 0 && <details class="more"><summary>{t('bar.findings', { n: bar.findings.length })}</summary>{findings}</details>}
          {!open && bar.missing.length > 0 && <details class="more"><summary>{t('bar.missing', { n: bar.missing.length })}</summary><Pins pins={bar.missing} gate={bar.title} /></details>}
          {last && <Permissions permitted={batch.permitted} />}
        </div></div>
    </section>
  );
}

function History({ batch }: { batch: BatchPage }): JSX.Element {
  const steps = (after?: string): HistoryStep[] => batch.steps.filter((s) => s.after === after);
  // Nothing follows a brick bar.
  const ended = batch.bars.findIndex((b) => b.state === 'refused');
  const reached = (after?: string): boolean => ended < 0 || batch.bars.findIndex((b) => b.gate === after) < ended;
  const planned = (after?: string): PlannedStep[] => batch.planned.filter((p) => p.after === after && reached(after));
  const stops = batch.bars.findIndex((b) => b.state !== 'released' && b.state !== 'concession');
  const acting = stops < 0 ? batch.bars.length - 1 : stops;
  return (
    <>
      <Title batch={batch} />
      <div class="history">
        <Steps steps={steps()} batch={batch} label={t('thread.to_bar')} begins />
        <Planned planned={planned()} />
        {batch.bars.map((bar, i) => (
          <>
            <BarRow key={bar.gate} bar={bar} batch={batch} last={i === acting} />
            <Steps steps={steps(bar.gate)} batch={batch} label={t('thread.after', { gate: bar.title })} begins={false} />
            <Planned planned={planned(bar.gate)} />
          </>
        ))}
      </div>
      <CoverTable rows={batch.cover} title={t('cover.title')} first={t('cover.need')} more={t('cover.of_batch')} />
      {batch.papers.length > 0 && (
        <section aria-labelledby="h-papers"><div class="head"><h2 id="h-papers">{t('papers.title')}</h2></div>
          <ul class="plainlist">{batch.papers.map((p) => <li><a href={p.href}>{p.paper} <Code>{p.number}</Code></a> {p.when && <span class="soft">{p.when}</span>}</li>)}</ul></section>
      )}
      <p class="screen"><a href={`/facts?subject=${encodeURIComponent(`batch:${batch.id}`)}`}>{t('facts.of', { words: t('kind.batch'), id: batch.id })}</a></p>
    </>
  );
}
