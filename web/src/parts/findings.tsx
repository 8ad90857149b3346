/// What the gate found, limits at the same two places in every strip; the working opens on the number.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { api, type FigureWorking, type FindingShown, type LimitWords, type WorkingRow } from '../api.ts';
import { useAsk } from '../ask.ts';
import { t } from '../words.ts';
import { Answer } from './faults.tsx';
import { Mark, Marked } from './marks.tsx';
import { Figure } from './text.tsx';

export function Limits({ limits }: { limits: LimitWords[] }): JSX.Element {
  return (
    <ul class="limits">
      {limits.map((l) => (
        <li>{l.words}<span class="src">{l.source}
          {!l.confirmed && <>, <Mark word="unconfirmed limit" /><span class="unc">{l.adopted ? t('limit.adopted') : t('limit.unconfirmed')}</span></>}
          {l.adopt_href && <> <a href={l.adopt_href}>{t('limit.read_and_adopt')}</a></>}</span></li>
      ))}
      {limits.length === 0 && <li class="soft">{t('limit.none')}</li>}
    </ul>
  );
}

export function WorkingTable({ rows }: { rows: WorkingRow[] }): JSX.Element {
  const from = rows.some((r) => r.from);
  const share = rows.some((r) => r.share);
  return (
    <div class="scrolls" tabIndex={0} role="group" aria-label={t('working.inputs')}>
      <table class="worktable">
        <thead><tr><th scope="col">{t('working.sign')}</th><th scope="col">{t('working.input')}</th><th scope="col" class="num">{t('working.value')}</th><th scope="col" class="num">{t('working.u')}</th>{share && <th scope="col" class="num">{t('working.share')}</th>}{from && <th scope="col">{t('working.from')}</th>}</tr></thead>
        <tbody>{rows.map((r) => (
          <tr><td><i>{r.symbol}</i></td><td>{r.words}</td><td class="num">{r.value}{r.unit ? ` ${r.unit}` : ''}</td><td class="num">{r.u ?? ''}</td>{share && <td class="num">{r.share ?? ''}</td>}{from && <td>{r.from ?? ''}</td>}</tr>
        ))}</tbody>
      </table>
    </div>
  );
}

export function WorkingBox({ working: w }: { working: FigureWorking }): JSX.Element {
  return (
    <div class="working">
      <p class="formula">{w.formula}</p>
      <p class="formula">{w.substituted_formula}</p>
      <WorkingTable rows={w.working} />
      {w.notes.map((n) => <p>{n}</p>)}
      <p class="srcs">{t('working.method', { title: w.title, version: w.version })} {w.source} {w.source_mark && `(${w.source_mark})`} {w.replay}</p>
    </div>
  );
}

function FigureFact({ sequence }: { sequence: number }): JSX.Element {
  const asked = useAsk(`fact ${sequence}`, () => api.fact(sequence));
  return (
    <Answer asked={asked}>{(fact) => (
      <>
        {fact.working ? <WorkingBox working={fact.working} /> : <p class="working">{fact.words}</p>}
        <p class="facts"><a href={`/facts/${sequence}`}>{t('done.fact', { sequence })}</a>{fact.rests_on.length > 0 && <> · {t('fact.rests_on')} {fact.rests_on.map((s) => <><a href={`/facts/${s}`}>{s}</a> </>)}</>}</p>
      </>
    )}</Answer>
  );
}

export const shortWord = (f: FindingShown): string => (f.word === 'unconfirmed limit' ? t('limit.unconfirmed') : f.word.replace(/ (above|below)$/, ''));

function FindingRows({ finding: f }: { finding: FindingShown }): JSX.Element {
  const [open, setOpen] = useState(false);
  return (
    <>
      <tr class={open ? 'opened' : ''}>
        <td><Marked word={f.word} words={shortWord(f)} /></td>
        <td>{f.trend_href ? <a href={f.trend_href}>{f.title}</a> : f.title}{f.sub && <span class="src">{f.sub}</span>}</td>
        {!f.result && f.limits.length === 0 ? <td colSpan={3}>{f.sentence}</td> : <>
        <td class="val">{f.result ? <><b>{f.result}</b>{[f.u, f.unit].filter(Boolean).map((x) => ` ${x}`)}</> : <span class="soft">{f.figures.length > 0 ? t('finding.none_counts') : t('finding.no_result')}</span>}{f.result_sub && <span class="src">{f.result_sub}</span>}{f.note && <span class="src">{f.note}</span>}</td>
        <td class="lies">{f.strip_svg && <Figure svg={f.strip_svg} />}</td>
        <td><Limits limits={f.limits} /></td></>}
        <td class="num op">{f.figures.length > 0 && <button type="button" class="open" aria-expanded={open} onClick={() => setOpen(!open)}>{open ? t('working.close') : t('working.open')}<span class="vh"> {f.title}</span></button>}</td>
      </tr>
      {open && <tr class="work"><td colSpan={6}>{f.figures.map((s) => <FigureFact sequence={s} />)}</td></tr>}
    </>
  );
}

export function Findings({ findings, caption, note }: { findings: FindingShown[]; caption: string; note?: string | undefined }): JSX.Element | null {
  if (findings.length === 0) return null;
  return (
    <table class="find-t">
      <caption>{caption}{note && <span>{note}</span>}</caption>
      <thead><tr><th scope="col">{t('finding.reason')}</th><th scope="col">{t('finding.characteristic')}</th><th scope="col">{t('finding.result')}</th><th scope="col">{t('finding.where')}</th><th scope="col">{t('finding.limit')}</th><th scope="col"><span class="vh">{t('working.open')}</span></th></tr></thead>
      <tbody>{findings.map((f, n) => <FindingRows key={f.characteristic + n} finding={f} />)}</tbody>
    </table>
  );
}
