/// The hand-over of a shift: made from what is open at this moment; nobody types it.
import type { JSX } from 'preact';
import { useAsk } from '../ask.ts';
import { Answer } from '../parts/faults.tsx';
import { Marked } from '../parts/marks.tsx';
import { Page } from '../parts/shell.tsx';
import { Head, Thing } from '../parts/text.tsx';
import { known, t, type Key } from './words.ts';
import { floor, type Shift } from './net.ts';

function Table({ id, heading, heads, rows }: { id: string; heading: Key; heads: Key[]; rows: (JSX.Element | string)[][] }): JSX.Element {
  return (
    <section aria-labelledby={id}>
      <Head id={id} title={t(heading)} note={t('station.shift.count', { n: rows.length })} />
      {rows.length === 0 ? <p class="prose">{t('station.shift.none')}</p> : (
        <table class="plain st-shift">
          <thead><tr>{heads.map((h) => <th scope="col">{t(h)}</th>)}</tr></thead>
          <tbody>{rows.map((row) => <tr>{row.map((cell) => <td>{cell}</td>)}</tr>)}</tbody>
        </table>
      )}
    </section>
  );
}

const thing = (kind: string, id: string): JSX.Element => <Thing kind={kind} id={id} />;
const list = (kind: string, ids: string[]): JSX.Element => <>{ids.map((id, i) => <>{i > 0 && ', '}{thing(kind, id)}</>)}</>;

function Open({ shift }: { shift: Shift }): JSX.Element {
  return (
    <>
      <h1 class="say">{t('station.shift.say', { now: shift.now })}</h1>
      <p class="asof">{t('station.shift.made', { fact: shift.fact })}</p>
      <Table id="h-late" heading={'station.shift.late'} heads={['today.state', 'today.what', 'today.hangs', 'today.who', 'today.by']}
        rows={shift.late.map((l) => [<Marked word={l.word} />, l.what, l.hangs, l.who, l.by])} />
      <Table id="h-holds" heading={'station.shift.holds'} heads={['today.what', 'today.why_held', 'today.who', 'today.held']}
        rows={[...shift.holds.map((h) => [<>{known(`kind.${h.kind}`, h.kind)} {thing(h.kind, h.id)}</>, h.why, '', h.since]), ...shift.on_hold.map((b) => [<>{t('kind.batch')} {thing('batch', b.batch)} {b.part}</>, b.why, b.who, b.since])]} />
      <Table id="h-loads" heading={'station.shift.loads'} heads={['kind.load', 'kind.machine', 'kind.programme', 'batches.title', 'today.pads', 'station.shift.since']}
        rows={shift.loads.map((l) => [thing('load', l.load), l.oven, l.programme, list('batch', l.batches), l.pads, l.since])} />
      <Table id="h-mixes" heading={'station.shift.mixes'} heads={['kind.mix', 'kind.batch', 'kind.machine', 'station.shift.weighings', 'station.shift.since']}
        rows={shift.mixes.map((m) => [thing('mix', m.mix), thing('batch', m.batch), m.machine, String(m.weighings), m.since])} />
      <Table id="h-presses" heading={'station.shift.presses'} heads={['kind.machine', 'station.shift.output', 'station.shift.runs']}
        rows={shift.presses.map((p) => [thing('machine', p.machine), p.words.join(' '), String(p.runs.length)])} />
      <Table id="h-steps" heading={'station.shift.steps'} heads={['today.step', 'kind.batch', 'kind.part', 'today.pads', 'station.shift.since']}
        rows={shift.steps.flatMap((s) => s.batches.map((b) => [known(`station.step_done.${s.step}`, s.step), thing('batch', b.batch), b.part, b.pads, b.since]))} />
      <Table id="h-lots" heading={'station.shift.lots'} heads={['kind.lot', 'kind.material', 'today.why_held', 'today.who', 'station.shift.since']}
        rows={shift.lots.map((l) => [thing('lot', l.lot), l.material, l.why, l.who, l.since])} />
      <p class="caution">{t('station.shift.caution')}</p>
      <p class="st-sign printed">{t('station.shift.sign')}</p>
    </>
  );
}

export function ShiftPage(): JSX.Element {
  const asked = useAsk('shift', () => floor.shift(), null);
  return (
    <Page title={t('station.shift.title')} at="/shift" crumbs={[{ words: t('floor.title'), href: '/stations' }, { words: t('station.shift.title') }]}>
      <Answer asked={asked}>{(shift) => <Open shift={shift} />}</Answer>
      <p class="nextup"><button type="button" class="btn do" onClick={() => window.print()}>{t('station.shift.print')}</button></p>
    </Page>
  );
}
