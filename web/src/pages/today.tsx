/// What wants a decision, what is late, what is on its way: one line each, the reason in words.
import type { JSX } from 'preact';
import { api, type HeldBatch, type LateThing, type RunningBatch, type ShippedOvertaken, type Today as Answered, type WaitingLot } from '../api.ts';
import { useAsk } from '../ask.ts';
import { Answer } from '../parts/faults.tsx';
import { Marked } from '../parts/marks.tsx';
import { Page } from '../parts/shell.tsx';
import { Head, Said, Thing } from '../parts/text.tsx';
import { useSession } from '../session.ts';
import { t } from '../words.ts';

export function Today(): JSX.Element {
  const asked = useAsk('today', api.today, null);
  return <Page title={t('today.title')} at="/" caution><Answer asked={asked}>{(today) => <Body today={today} />}</Answer></Page>;
}

function Body({ today }: { today: Answered }): JSX.Element {
  const { session } = useSession();
  return (
    <>
      <h1 class="say"><Said text={today.sentence} /></h1>
      <p class="asof">{t('today.as_of', { plant: session?.plant.name ?? '', now: today.now, zone: session?.plant.zone_words ?? '' })}</p>
      {today.shipped_overtaken.length > 0 && <Overtaken rows={today.shipped_overtaken} />}
      {today.on_hold.length > 0 && <OnHold today={today} />}
      {today.lots.length > 0 && <Lots rows={today.lots} />}
      {today.late.length > 0 && <Late rows={today.late} />}
      {today.running.length > 0 && <Running rows={today.running} />}
    </>
  );
}

const Columns = (): JSX.Element => <colgroup><col class="c-word" /><col class="c-what" /><col class="c-pads" /><col class="c-why" /><col class="c-settle" /><col class="c-who" /><col class="c-since" /></colgroup>;

function Table({ caption, heads, wide, rest, children, under }: { caption: string; heads: string[]; wide?: boolean; rest?: number; under?: boolean; children: JSX.Element[] | JSX.Element }): JSX.Element {
  return (
    <table class={under ? 'today under' : 'today'}>
      <caption class="vh">{caption}</caption>
      <Columns />
      <thead><tr>{heads.map((h, i) => <th scope="col" class={(!rest && i === heads.length - 1) || (!wide && i === 2) ? 'num' : ''} colSpan={wide && i === 1 ? 2 : rest && i === heads.length - 1 ? rest : 1}>{h}</th>)}</tr></thead>
      <tbody>{children}</tbody>
    </table>
  );
}

const Group = ({ title, note }: { title: string; note: string }): JSX.Element =>
  <tr class="group"><td /><th scope="rowgroup" colSpan={6}>{title} <span class="soft">– {note}</span></th></tr>;

function HeldRow({ row: r }: { row: HeldBatch }): JSX.Element {
  return (
    <tr class={r.group === 'ready' ? 'you' : ''}>
      <td><Marked word={r.word} words={r.word === 'too close to say' ? t('word.too close') : r.word.replace(/ (above|below)$/, '')} /></td>
      <td class="thing"><Thing kind="batch" id={r.batch} /> {r.part} · {r.compound}</td>
      <td class="num pads" data-l={t('today.pads')}>{r.pads}</td>
      <td>{r.why}</td><td class="settle">{r.settle}</td><td class="who">{r.who}</td>
      <td class="num" data-l={t('today.held')}>{r.since}</td>
    </tr>
  );
}

function OnHold({ today }: { today: Answered }): JSX.Element {
  const ready = today.on_hold.filter((r) => r.group === 'ready');
  const waiting = today.on_hold.filter((r) => r.group === 'waiting');
  return (
    <section aria-labelledby="h-held">
      <div class="head barhead"><h2 id="h-held">{t('today.on_hold')}</h2><p>{today.on_hold_words}</p></div>
      <Table under caption={t('today.on_hold')} heads={[t('finding.reason'), t('today.batch'), t('today.pads'), t('today.why_held'), t('today.settle'), t('today.who'), t('today.held')]}>
        <>
          {ready.length > 0 && <Group title={t('today.ready')} note={t('today.ready.more')} />}
          {ready.map((r) => <HeldRow key={r.batch} row={r} />)}
          {waiting.length > 0 && <Group title={t('today.waiting')} note={t('today.waiting.more')} />}
          {waiting.map((r) => <HeldRow key={r.batch} row={r} />)}
        </>
      </Table>
    </section>
  );
}

function Lots({ rows }: { rows: WaitingLot[] }): JSX.Element {
  return (
    <section aria-labelledby="h-lots"><Head id="h-lots" title={t('today.lots')} />
      <Table wide caption={t('today.lots')} heads={[t('finding.reason'), t('today.lot'), t('today.why_held'), t('today.settle'), t('today.who'), t('today.held')]}>
        {rows.map((r) => (
          <tr key={r.lot}><td><Marked word={r.word} words={r.word.replace(/ (above|below)$/, '')} /></td><td class="thing" colSpan={2}><Thing kind="lot" id={r.lot} /> {r.material}</td>
            <td>{r.why}</td><td class="settle">{r.settle}</td><td class="who">{r.who}</td><td class="num" data-l={t('today.held')}>{r.since}</td></tr>
        ))}
      </Table></section>
  );
}

function Late({ rows }: { rows: LateThing[] }): JSX.Element {
  return (
    <section aria-labelledby="h-late"><Head id="h-late" title={t('today.late')} />
      <Table wide caption={t('today.late')} heads={[t('today.state'), t('today.what'), t('today.hangs'), t('today.helps'), t('today.who'), t('today.by')]}>
        {rows.map((r) => (
          <tr key={r.kind + r.id}><td><Marked word={r.word} /></td><td class="thing" colSpan={2}><Thing kind={r.kind} id={r.id} /> {r.what}</td>
            <td>{r.hangs}</td><td class="settle">{r.helps}</td><td class="who">{r.who}</td><td class="num" data-l={t('today.by')}>{r.by}</td></tr>
        ))}
      </Table></section>
  );
}

function Running({ rows }: { rows: RunningBatch[] }): JSX.Element {
  return (
    <section aria-labelledby="h-running"><Head id="h-running" title={t('today.running')} />
      <Table caption={t('today.running')} heads={[t('today.step'), t('today.batch'), t('today.pads'), t('today.now')]} rest={4}>
        {rows.map((r) => (
          <tr key={r.batch}><td><Marked word="on its way" words={r.step} /></td><td class="thing"><Thing kind="batch" id={r.batch} /> {r.part} · {r.compound}</td>
            <td class="num pads" data-l={t('today.pads')}>{r.pads}</td><td colSpan={4}>{r.words}</td></tr>
        ))}
      </Table></section>
  );
}

function Overtaken({ rows }: { rows: ShippedOvertaken[] }): JSX.Element {
  return (
    <section class="alarm" aria-labelledby="h-overtaken">
      <h2 id="h-overtaken">{t('today.overtaken')}</h2>
      <ul>{rows.map((r) => <li><Thing kind="batch" id={r.batch} named /> {t('today.shipped_to', { shipment: r.shipment, customer: r.customer })} {r.why} <a href={`/facts/${r.fact}`}>{t('done.fact', { sequence: r.fact })}</a></li>)}</ul>
    </section>
  );
}
