/// The facts behind the lines: a list about one thing, and one fact in full.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { api, type FactLine, type FactPage } from '../api.ts';
import { useAsk } from '../ask.ts';
import { Answer } from '../parts/faults.tsx';
import { WorkingBox } from '../parts/findings.tsx';
import { Mark } from '../parts/marks.tsx';
import { Page } from '../parts/shell.tsx';
import { Code, Head, hrefOf } from '../parts/text.tsx';
import { fromName, known, t } from '../words.ts';

export function FactTable({ rows }: { rows: FactLine[] }): JSX.Element {
  return (
    <table class="plain facts-t"><caption class="vh">{t('facts.title')}</caption>
      <thead><tr><th scope="col" class="num">{t('facts.number')}</th><th scope="col">{t('facts.when')}</th><th scope="col">{t('facts.what')}</th><th scope="col">{t('today.who')}</th></tr></thead>
      <tbody>{rows.map((f) => <tr key={f.sequence}><td class="num"><a href={`/facts/${f.sequence}`}>{f.sequence}</a></td><td>{f.when}</td><td>{f.words}</td><td>{f.who}</td></tr>)}</tbody></table>
  );
}

export function Facts({ subject }: { subject: string }): JSX.Element {
  const at = subject.indexOf(':');
  const kind = at < 0 ? subject : subject.slice(0, at);
  const id = at < 0 ? '' : subject.slice(at + 1);
  const [after, setAfter] = useState<string | undefined>(undefined);
  const asked = useAsk(`facts ${subject} ${after ?? ''}`, () => api.facts({ kind, id }, after), { kind, id });
  const words = known(`kind.${kind}`, kind);
  return (
    <Page title={t('facts.of', { words, id })} crumbs={[{ words, code: id, href: hrefOf({ kind, id }) }, { words: t('facts.title') }]}>
      <h1 class="say">{t('facts.of', { words, id })}</h1>
      <Answer asked={asked}>{(page) => (
        <>
          {page.rows.length === 0 ? <p>{t('facts.none')}</p> : <FactTable rows={page.rows} />}
          {page.next !== undefined && <p><button type="button" class="btn" onClick={() => setAfter(page.next)}>{t('list.more')}</button></p>}
        </>
      )}</Answer>
    </Page>
  );
}

/// A body is shown as members and values, whatever its kind.
function Members({ value }: { value: unknown }): JSX.Element {
  if (Array.isArray(value)) return <ol class="values">{value.map((v) => <li><Members value={v} /></li>)}</ol>;
  if (value === null || typeof value !== 'object') return <span class="no wrapcode">{String(value)}</span>;
  const { value: number, unit, ...rest } = value as Record<string, unknown>;
  if (number !== undefined && unit !== undefined && Object.keys(rest).length === 0) return <span class="no">{String(number)}{unit === '1' ? '' : ` ${String(unit)}`}</span>;
  return <dl class="members">{Object.entries(value).map(([name, v]) => <div><dt>{known(`field.${name}`, fromName(name))}</dt><dd><Members value={v} /></dd></div>)}</dl>;
}

const FactLink = ({ sequence }: { sequence: number }): JSX.Element => <a href={`/facts/${sequence}`}>{t('done.fact', { sequence })}</a>;

function Envelope({ fact: f }: { fact: FactPage }): JSX.Element {
  return (
    <dl class="members envelope">
      <div><dt>{t('fact.happened')}</dt><dd>{f.happened}{f.as_typed && <span class="soft"> {t('fact.as_typed', { text: f.as_typed })}</span>}</dd></div>
      <div><dt>{t('fact.recorded')}</dt><dd>{f.recorded}</dd></div>
      <div><dt>{t('fact.person')}</dt><dd>{t('fact.person.words', { ...f.person })}</dd></div>
      <div><dt>{t('fact.about')}</dt><dd>{f.subjects.map((s) => <><a class="no" href={s.href ?? hrefOf(s)}>{known(`kind.${s.kind}`, s.kind)} {s.id}</a> </>)}</dd></div>
      {f.rests_on.length > 0 && <div><dt>{t('fact.rests_on')}</dt><dd>{f.rests_on.map((s) => <><FactLink sequence={s} /> </>)}</dd></div>}
      {f.attachments.length > 0 && <div><dt>{t('fact.attachments')}</dt><dd>{f.attachments.map((a) => <><a href={a.href} download={a.name}>{a.name}</a> <span class="soft">{a.size}</span> </>)}</dd></div>}
    </dl>
  );
}

function Seal({ fact: f }: { fact: FactPage }): JSX.Element {
  return (
    <section aria-labelledby="h-seal"><Head id="h-seal" title={t('fact.seal')} note={t('fact.seal.more')} />
      <dl class="members">
        <div><dt>{t('fact.hash')}</dt><dd><Code><span class="hash">{f.hash}</span></Code></dd></div>
        <div><dt>{t('fact.previous')}</dt><dd><Code><span class="hash">{f.previous}</span></Code></dd></div>
        {f.signature && <div><dt>{t('fact.signature')}</dt><dd><Code><span class="hash">{f.signature}</span></Code></dd></div>}
        {f.signer && <div><dt>{t('fact.signer')}</dt><dd><Code><span class="hash">{f.signer}</span></Code></dd></div>}
      </dl>
      <details class="more"><summary>{t('fact.bytes')}</summary><pre class="bytes" tabIndex={0}>{f.bytes}</pre></details></section>
  );
}

function OneFact({ fact: f }: { fact: FactPage }): JSX.Element {
  const seal = new Set(['remark']);
  const body = f.body !== null && typeof f.body === 'object' && !Array.isArray(f.body) ? Object.fromEntries(Object.entries(f.body).filter(([n]) => !seal.has(n))) : f.body;
  return (
    <>
      <h1 class="say"><b>{t('done.fact', { sequence: f.sequence })}</b> {f.words}</h1>
      <p class="asof"><Code>{f.kind}</Code> {t('fact.version', { n: f.version })}</p>
      {f.corrected_by && <p class="holdline"><Mark word="overtaken" /> {t('step.corrected')} <FactLink sequence={f.corrected_by} /></p>}
      {f.remark?.corrects && <p class="holdline">{t('step.corrects')} <FactLink sequence={f.remark.corrects} /> {f.remark.why}</p>}
      {f.remark?.irregular.length ? <p class="irregular"><Mark word="overtaken" /> <b>{t('step.irregular')}</b> {f.remark.irregular.join('; ')}</p> : null}
      <Envelope fact={f} />
      {f.working && <section aria-labelledby="h-working"><Head id="h-working" title={t('working.title')} /><WorkingBox working={f.working} /></section>}
      <section aria-labelledby="h-body"><Head id="h-body" title={t('fact.body')} /><Members value={body} /></section>
      <Seal fact={f} />
    </>
  );
}

export function Fact({ sequence }: { sequence: string }): JSX.Element {
  const asked = useAsk(`fact ${sequence}`, () => api.fact(Number(sequence)));
  return (
    <Page title={t('done.fact', { sequence })} crumbs={[{ words: t('done.fact', { sequence }) }]}>
      <Answer asked={asked}>{(fact) => <OneFact fact={fact} />}</Answer>
    </Page>
  );
}
