/// The things that are issued, never edited: lists, all issues, the next issue, import from a file.
import type { JSX } from 'preact';
import { useRef, useState } from 'preact/hooks';
import { api, type Act, type ImportPreview, type Input, type NounIssue, type NounKind, type NounPage, type PressLog } from '../api.ts';
import { newToken, troubleOf, type Trouble } from '../act.ts';
import { useAsk } from '../ask.ts';
import { ActForm } from '../parts/act_form.tsx';
import { CoverTable } from '../parts/cover.tsx';
import { Answer, FaultBox, ProblemWords } from '../parts/faults.tsx';
import { Marked } from '../parts/marks.tsx';
import { PlanLines, type PlanLine } from '../parts/plan_lines.tsx';
import { Page, type Crumb } from '../parts/shell.tsx';
import { Head } from '../parts/text.tsx';
import { fromName, known, knowSigns, measured, t } from '../words.ts';
import { Allowed } from './do.tsx';
import { GaugeTrust } from './gauge.tsx';

const kindWords = (kind: string): string => known(`kinds.${kind}`, fromName(kind));
const oneWord = (kind: string): string => known(`kind.${kind}`, fromName(kind)).toLowerCase();
const kindCrumbs = (kind: string, ...more: Crumb[]): Crumb[] => [{ words: t('things.title'), href: '/things' }, { words: kindWords(kind), href: `/things/${kind}` }, ...more];

export function Things(): JSX.Element {
  const asked = useAsk('kinds', api.kinds, null);
  return (
    <Page title={t('things.title')} at="/things">
      <h1 class="say">{t('things.say')}</h1>
      <Answer asked={asked}>{(kinds) => (
        <table class="plain"><caption class="vh">{t('things.title')}</caption>
          <thead><tr><th scope="col">{t('things.kind')}</th><th scope="col" class="num">{t('things.count')}</th><th scope="col"><span class="vh">{t('things.do')}</span></th></tr></thead>
          <tbody>{kinds.map((k) => <tr><td><a href={`/things/${k.kind}`}>{k.words}</a></td><td class="num">{k.count}</td><td class="num"><a href={`/things/${k.kind}/new`}>{t('things.new', { what: k.one })}</a></td></tr>)}</tbody></table>
      )}</Answer>
      <p>{t('export.all')} <a href="/api/export?format=csv" download>{t('export.csv')}</a> · <a href="/api/export?format=json" download>{t('export.json')}</a> <span class="soft">{t('export.more')}</span></p>
      <p><a href="/do">{t('do.all')}</a></p>
    </Page>
  );
}

export function ThingList({ kind }: { kind: string }): JSX.Element {
  const [after, setAfter] = useState<string | undefined>(undefined);
  const asked = useAsk(`nouns ${kind} ${after ?? ''}`, () => api.nouns(kind, after), null);
  return (
    <Page title={kindWords(kind)} crumbs={kindCrumbs(kind).map((c, i) => (i === 1 ? { words: c.words } : c))}>
      <div class="sayline"><h1 class="say">{kindWords(kind)}</h1>
        <a class="btn" href={`/things/${kind}/new`}>{t('things.new', { what: oneWord(kind) })}</a> <a class="btn" href={`/things/${kind}/import`}>{t('import.title')}</a></div>
      <p>{t('export.kind')} <a href={`/api/export/${kind}?format=csv`} download>{t('export.csv')}</a> · <a href={`/api/export/${kind}?format=json`} download>{t('export.json')}</a></p>
      <Answer asked={asked}>{(page) => (
        <>
          <table class="plain"><caption class="vh">{kindWords(kind)}</caption>
            <thead><tr><th scope="col">{t('things.code')}</th><th scope="col">{t('things.name')}</th><th scope="col" class="num">{t('things.issue')}</th><th scope="col">{t('things.since')}</th><th scope="col">{t('list.words')}</th></tr></thead>
            <tbody>{page.rows.map((r) => <tr key={r.code}><td><a class="no" href={`/things/${kind}/${encodeURIComponent(r.code)}`}>{r.code}</a></td><td>{r.name}</td><td class="num">{r.issue}</td><td>{r.effective ?? ''}</td><td>{r.word ? <Marked word={r.word} words={r.words} /> : r.words}</td></tr>)}</tbody></table>
          {page.rows.length === 0 && <p>{t('list.none')}</p>}
          {page.next !== undefined && <p><button type="button" class="btn" onClick={() => setAfter(page.next)}>{t('list.more')}</button></p>}
        </>
      )}</Answer>
    </Page>
  );
}

export function Thing({ kind, code }: { kind: string; code: string }): JSX.Element {
  const asked = useAsk(`noun ${kind} ${code}`, () => api.noun(kind, code), { kind, id: code });
  return (
    <Page title={`${kindWords(kind)} ${code}`} crumbs={kindCrumbs(kind, { words: '', code })}>
      <Answer asked={asked}>{(noun) => <Issues noun={noun} />}</Answer>
    </Page>
  );
}

function Issues({ noun: n }: { noun: NounPage }): JSX.Element {
  knowSigns(n.unit_signs);
  return (
    <>
      <div class="sayline"><h1 class="say"><b class="no">{n.code}</b> {n.name}</h1><a class="btn" href={`/things/${n.kind}/${encodeURIComponent(n.code)}/issue`}>{t('things.next_issue')}</a></div>
      {n.cover && <CoverTable rows={n.cover} title={t('cover.title')} first={n.kind === 'part' ? t('cover.need') : t('cover.whose')} more={n.kind === 'part' ? t('cover.of_part') : t('cover.of_approval')} />}
      {n.press && <PressLogged log={n.press} />}
      {n.kind === 'gauge' && <GaugeTrust code={n.code} />}
      <p class="asof">{t('things.issues.more')}</p>
      {n.issues.map((i, at) => <OneIssue key={i.issue} kind={n.kind} code={n.code} issue={i} open={at === 0} />)}
    </>
  );
}

/// What the press made and how long it waited, by its own times.
function PressLogged({ log }: { log: PressLog }): JSX.Element {
  return (
    <section aria-labelledby="h-press"><Head id="h-press" title={t('press.title')} />
      {log.words.map((w) => <p>{w}</p>)}
      {log.runs.length > 0 && (
        <table class="plain"><thead><tr><th scope="col">{t('press.run')}</th><th scope="col">{t('press.station')}</th><th scope="col">{t('press.from')}</th><th scope="col">{t('press.to')}</th><th scope="col" class="num">{t('press.strokes')}</th><th scope="col" class="num">{t('press.pads')}</th><th scope="col">{t('press.cycle')}</th></tr></thead>
          <tbody>{log.runs.map((r) => <tr key={r.fact}><td><a href={`/facts/${r.fact}`}>{r.batch}</a></td><td>{r.station}</td><td>{r.from}</td><td>{r.to}</td><td class="num">{r.strokes}</td><td class="num">{r.pads}</td><td>{r.cycle}</td></tr>)}</tbody></table>)}
    </section>
  );
}

function OneIssue({ kind, code, issue: i, open }: { kind: string; code: string; issue: NounIssue; open: boolean }): JSX.Element {
  return (
    <details class="issue" open={open}>
      <summary><b>{t('issue.n', { n: i.issue })}</b>{i.counts && <span class="tagword">{t('things.counts')}</span>}<span class="soft"> {t('things.issued', { when: i.when, who: i.who })}</span></summary>
      {i.effective && <p>{t('things.effective', { day: i.effective })}</p>}
      <p>{i.why}{i.changed.length > 0 && <span class="soft"> {t('things.changed', { what: i.changed.map((c) => known(`field.${c}`, fromName(c))).join(', ') })}</span>}</p>
      <NounShown kind={kind} value={i.noun} />
      <p><a href={`/facts/${i.fact}`}>{t('done.fact', { sequence: i.fact })}</a>
        {kind === 'compound' && i.issue > 1 && <> · <a href={`/formulas/${encodeURIComponent(code)}/${i.issue - 1}/${i.issue}`}>{t('formula.compare', { n: i.issue - 1 })}</a></>}</p>
    </details>
  );
}

function NounShown({ kind, value }: { kind: string; value: Input }): JSX.Element {
  if (kind !== 'plan') return <Shown value={value} />;
  const { lines, ...rest } = value;
  return <><Shown value={rest} /><PlanLines plan={String(value['code'])} lines={lines as PlanLine[]} /></>;
}

/// A list of alike things is a table; everything else names and values.
function Shown({ value }: { value: Input }): JSX.Element {
  return (
    <dl class="members">
      {Object.entries(value).map(([name, v]) => <div><dt>{known(`field.${name}`, fromName(name))}</dt><dd><ShownValue name={name} value={v} /></dd></div>)}
    </dl>
  );
}

/// In a cell of a table: members in one line.
function inOneLine(value: unknown): string {
  const text = measured(value);
  if (text !== null) return text;
  if (Array.isArray(value)) return value.map(inOneLine).join('; ');
  return Object.entries(value as Input).map(([name, v]) => [known(`field.${name}`, fromName(name)), inOneLine(v)]).filter(([, v]) => v !== '').map(([name, v]) => `${name}: ${v}`).join(', ');
}

function ShownValue({ name, value }: { name: string; value: unknown }): JSX.Element {
  const text = measured(value);
  if (text !== null) return <>{text}</>;
  if (!Array.isArray(value)) return <Shown value={value as Input} />;
  const rows = value.filter((v): v is Input => measured(v) === null && !Array.isArray(v));
  if (rows.length !== value.length) return <>{value.map(measured).join(', ')}</>;
  const columns = [...new Set(rows.flatMap((r) => Object.keys(r)))];
  return (
    <div class="scrolls" tabIndex={0} role="group" aria-label={known(`field.${name}`, fromName(name))}>
      <table class="plain inner"><thead><tr>{columns.map((c) => <th scope="col">{known(`field.${c}`, fromName(c))}</th>)}</tr></thead>
        <tbody>{rows.map((r) => <tr>{columns.map((c) => <td>{inOneLine(r[c])}</td>)}</tr>)}</tbody></table>
    </div>
  );
}

export function IssueThing({ kind, code }: { kind: string; code?: string }): JSX.Element {
  const asked = useAsk(`issue ${kind} ${code ?? ''}`, async () => {
    const [kinds, acts, noun] = await Promise.all([api.kinds(), api.acts(), code ? api.noun(kind, code) : undefined]);
    return { kind: kinds.find((k) => k.kind === kind), act: acts.find((a) => a.path === kinds.find((k) => k.kind === kind)?.act), last: noun?.issues[0] };
  });
  const title = code ? t('things.next_issue_of', { code }) : t('things.new', { what: oneWord(kind) });
  return (
    <Page title={title} crumbs={kindCrumbs(kind, ...(code ? [{ words: '', code, href: `/things/${kind}/${encodeURIComponent(code)}` }] : []), { words: title })}>
      <Answer asked={asked}>{({ kind: k, act, last }) => (k && act ? <IssueForm kind={k} act={act} last={last} title={title} /> : <p role="alert">{t('do.unknown', { path: kind })}</p>)}</Answer>
    </Page>
  );
}

/// The noun's members may stand in the act's input under `noun`, or beside its other members.
function IssueForm({ act, last, title }: { kind: NounKind; act: Act; last: NounIssue | undefined; title: string }): JSX.Element {
  const inside = act.fields.some((f) => f.name === 'noun' && (f.members?.length ?? 0) > 0);
  const start: Input = last ? (inside ? { noun: last.noun } : last.noun) : {};
  const locked = new Set(last ? [inside ? 'noun.code' : 'code'] : []);
  return (
    <>
      <h1 class="say">{title}</h1>
      <Allowed operation={act.operation} />
      {last && <p class="prose">{t('things.prefilled', { n: last.issue })}</p>}
      <ActForm act={act} start={start} locked={locked} label={t('things.issue_do')} />
    </>
  );
}

export function ImportThings({ kind }: { kind: string }): JSX.Element {
  const title = t('import.of', { what: kindWords(kind) });
  return (
    <Page title={title} crumbs={kindCrumbs(kind, { words: t('import.title') })}>
      <h1 class="say">{title}</h1>
      <p class="prose">{t('import.more')}</p>
      <Importer kind={kind} />
    </Page>
  );
}

function Importer({ kind }: { kind: string }): JSX.Element {
  const [file, setFile] = useState<File | null>(null);
  const [preview, setPreview] = useState<ImportPreview | null>(null);
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const [sending, setSending] = useState(false);
  const token = useRef(newToken());
  const send = async (chosen: File, dry: boolean): Promise<void> => {
    if (sending) return;
    setSending(true);
    setTrouble(null);
    try {
      setPreview(await api.importNouns(kind, chosen.name.toLowerCase().endsWith('.json') ? 'json' : 'csv', dry, chosen, token.current));
    } catch (fault) {
      setTrouble(troubleOf(fault));
      if (dry) setPreview(null);
    }
    setSending(false);
  };
  const choose = (chosen: File | null): void => {
    setFile(chosen);
    setPreview(null);
    token.current = newToken();
    if (chosen) void send(chosen, true);
  };
  return (
    <div class="form">
      <FaultBox trouble={trouble} />
      <div class="field"><label for="import-file">{t('import.file')}<span class="hint">{t('import.file.more')}</span></label>
        <input id="import-file" type="file" accept=".csv,.json,.txt" onChange={(e) => choose(e.currentTarget.files?.[0] ?? null)} /></div>
      <div role="status">{sending && <p>{t('import.reading')}</p>}{preview?.done && <p><b>{preview.done.words}</b></p>}</div>
      {preview && <PreviewTable preview={preview} />}
      {file && preview && !preview.done && (
        <p class="send"><button type="button" class="btn do" disabled={sending || preview.recordable === 0 || preview.wrong > 0} onClick={() => send(file, false)}>{t('import.do', { n: preview.recordable })}</button>{' '}
          <span class="soft">{preview.wrong > 0 ? t('import.wrong', { n: preview.wrong }) : t('form.nothing_yet')}</span></p>
      )}
    </div>
  );
}

function PreviewTable({ preview }: { preview: ImportPreview }): JSX.Element {
  return (
    <table class="plain"><caption class="vh">{t('import.preview')}</caption>
      <thead><tr><th scope="col" class="num">{t('import.row')}</th><th scope="col">{t('things.code')}</th><th scope="col">{t('import.what')}</th><th scope="col">{t('list.words')}</th></tr></thead>
      <tbody>{preview.rows.map((r) => <tr class={r.word === 'wrong' ? 'wrong' : ''}><td class="num">{r.row}</td><td class="no">{r.code}</td><td>{r.word === 'wrong' ? <Marked word="refused" words={t('import.word.wrong')} /> : r.word}</td><td>{r.problem ? <ProblemWords problem={r.problem} /> : r.words}</td></tr>)}</tbody></table>
  );
}
