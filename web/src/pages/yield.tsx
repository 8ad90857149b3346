/// Counts and yield: batches whose counts do not balance stand first, each with its steps.
import { useState } from 'preact/hooks';
import type { JSX } from 'preact';
import { api, type Yield as Answered, type YieldLine, type YieldRow } from '../api.ts';
import { useAsk } from '../ask.ts';
import { Answer } from '../parts/faults.tsx';
import { Marked } from '../parts/marks.tsx';
import { Page } from '../parts/shell.tsx';
import { Said, Thing } from '../parts/text.tsx';
import { t } from '../words.ts';

export function Yield(): JSX.Element {
  const asked = useAsk('yield', api.yield, null);
  return <Page title={t('yield.title')} crumbs={[{ words: t('yield.title') }]}><Answer asked={asked}>{(answer) => <Body answer={answer} />}</Answer></Page>;
}

function Body({ answer }: { answer: Answered }): JSX.Element {
  return (
    <>
      <h1 class="say"><Said text={answer.sentence} /></h1>
      <p class="asof">{t('yield.since', { from: answer.from, plates: answer.plates, good: answer.good, share: answer.yield })}</p>
      {answer.rows.length > 0 && (
        <table class="plain"><caption class="vh">{t('yield.title')}</caption>
          <thead><tr><th scope="col">{t('today.state')}</th><th scope="col">{t('kind.batch')}</th><th scope="col">{t('list.words')}</th><th scope="col" class="num">{t('yield.plates')}</th><th scope="col" class="num">{t('yield.good')}</th><th scope="col" class="num">{t('yield.scrap')}</th><th scope="col" class="num">{t('yield.samples')}</th><th scope="col" class="num">{t('yield.rework')}</th><th scope="col" class="num">{t('yield.share')}</th></tr></thead>
          {answer.rows.map((row) => <Batch key={row.batch} row={row} />)}</table>
      )}
      {answer.scrap.length > 0 && <Reasons answer={answer} />}
    </>
  );
}

function Reasons({ answer }: { answer: Answered }): JSX.Element {
  return (
    <table class="plain"><caption>{t('yield.reasons')}</caption>
      <thead><tr><th scope="col">{t('yield.reason')}</th><th scope="col" class="num">{t('today.pads')}</th><th scope="col" class="num">{t('yield.of_plates')}</th></tr></thead>
      <tbody>{answer.scrap.map((s) => <tr key={s.reason}><td>{s.reason}</td><td class="num">{s.pads}</td><td class="num">{s.share}</td></tr>)}</tbody></table>
  );
}

/// One that does not balance shows its steps at once.
function Batch({ row }: { row: YieldRow }): JSX.Element {
  const [open, setOpen] = useState(!row.balances);
  return (
    <tbody>
      <tr>
        <td><Marked word={row.balances ? 'inside' : 'missing'} words={row.balances ? t('yield.balances') : t('yield.off')} /></td>
        <td class="thing"><Thing kind="batch" id={row.batch} /> {row.part}</td>
        <td>{row.words} <button type="button" class="plain" aria-expanded={open} onClick={() => setOpen(!open)}>{t(open ? 'yield.close' : 'yield.steps')}</button></td>
        <td class="num">{row.plates}</td><td class="num">{row.good}</td><td class="num">{row.scrap}</td><td class="num">{row.samples}</td><td class="num">{row.rework}</td><td class="num">{row.yield}</td>
      </tr>
      {open && row.lines.map((line, i) => <Step key={i} line={line} />)}
    </tbody>
  );
}

function Step({ line }: { line: YieldLine }): JSX.Element {
  return (
    <tr>
      <td />
      <td>{line.fact ? <a href={`/facts/${line.fact}`}>{line.step}</a> : line.step}</td>
      <td>{line.difference_words ? <b>{line.difference_words}</b> : ''} {line.scrap_words}</td>
      <td class="num">{line.in}</td><td class="num">{line.good}</td><td class="num">{line.scrap}</td><td class="num">{line.samples}</td><td class="num">{line.rework}</td><td />
    </tr>
  );
}
