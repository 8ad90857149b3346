/// Judgement: the reasons, what may be decided, then what is signed, in words, with the password again.
import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { api, type Judgement, type Subject } from '../api.ts';
import { useAct } from '../act.ts';
import { useAsk } from '../ask.ts';
import { Done, PasswordField, SendButton } from '../parts/act_form.tsx';
import { BarWords, LoneBar, Pins } from '../parts/bar.tsx';
import { Answer, FaultBox, MissingList, type FieldFault } from '../parts/faults.tsx';
import { Findings } from '../parts/findings.tsx';
import { Mark } from '../parts/marks.tsx';
import { Page } from '../parts/shell.tsx';
import { Code, Head, hrefOf } from '../parts/text.tsx';
import { known, t } from '../words.ts';

type Decision = Judgement['decisions'][number];
const actPath = (act: string): string => act.replace(' ', '/');

export function Judge({ gate, subject }: { gate: string; subject: Subject }): JSX.Element {
  const asked = useAsk(`judgement ${gate} ${subject.kind} ${subject.id}`, () => api.judgement(gate, subject), subject);
  const title = t('judge.title', { gate: known(`gate.${gate}`, gate), kind: known(`kind.${subject.kind}`, subject.kind), id: subject.id });
  return (
    <Page title={title} caution crumbs={[{ words: known(`kind.${subject.kind}`, subject.kind), code: subject.id, href: hrefOf(subject) }, { words: known(`gate.${gate}`, gate) }]}>
      <Answer asked={asked}>{(j) => <Body judgement={j} again={asked.again} />}</Answer>
    </Page>
  );
}

function Outcome({ judgement: j }: { judgement: Judgement }): JSX.Element {
  const verdict = j.bar.verdict;
  return (
    <>
      <p class="outcome">{verdict ? <><b>{t(`outcome.${verdict.outcome}`)}</b> <span class="soft">{t('judge.verdict', { fact: verdict.fact, seen: verdict.seen })} <a href={`/facts/${verdict.fact}`}>{t('done.fact', { sequence: verdict.fact })}</a></span></> : t('judge.none')}</p>
      {j.stale && <p class="overtaken"><Mark word="overtaken" /> {j.stale}</p>}
    </>
  );
}

function JudgeAgain({ judgement: j, again }: { judgement: Judgement; again(): void }): JSX.Element {
  const doing = useAct(actPath(j.judge_act));
  const run = async (e: Event): Promise<void> => {
    e.preventDefault();
    const { kind, id } = j.subject;
    if (await doing.run({ input: kind === 'batch' ? { batch: id, gate: j.gate } : { [kind]: id } })) again();
  };
  return (
    <form onSubmit={run}>
      <FaultBox trouble={doing.trouble} />
      <p class="send"><SendButton doing={doing} label={j.bar.verdict ? t('judge.again') : t('judge.do')} /> <span class="soft">{t('judge.do.more')}</span></p>
    </form>
  );
}

function Choices({ judgement: j, choose }: { judgement: Judgement; choose(d: Decision): void }): JSX.Element {
  const open = j.decisions.filter((d) => !d.blocked?.length);
  const blocked = j.decisions.filter((d) => d.blocked?.length);
  return (
    <section aria-labelledby="h-decide"><Head id="h-decide" title={t('judge.decide')} note={t('judge.decide.more')} />
      <div class="decide">{open.map((d) => <button type="button" class={d.far ? 'btn far' : 'btn'} onClick={() => choose(d)}>{d.label}</button>)}
        {open.length === 0 && <p>{t('judge.nothing')}</p>}</div>
      {blocked.map((d) => <div class="blocked"><h3>{t('permitted.not_yet', { what: d.label })}</h3><MissingList missing={d.blocked ?? []} /></div>)}
    </section>
  );
}

/// The signature covers the verdict's digest and these words; both are shown before the password.
function Sign({ judgement: j, decision: d, back, done }: { judgement: Judgement; decision: Decision; back(): void; done(): void }): JSX.Element {
  const [password, setPassword] = useState('');
  const [why, setWhy] = useState('');
  const [missing, setMissing] = useState<FieldFault[]>([]);
  const head = useRef<HTMLHeadingElement>(null);
  const doing = useAct(actPath(d.act));
  useEffect(() => head.current?.focus(), []);
  const submit = async (e: Event): Promise<void> => {
    e.preventDefault();
    const faults: FieldFault[] = [
      ...(d.signed && !password ? [{ path: 'password', words: t('sign.password.missing') }] : []),
      ...(d.reason_wanted && !why.trim() ? [{ path: 'why', words: t('sign.why.missing') }] : []),
    ];
    setMissing(faults);
    if (faults.length) return;
    const input = d.reason_wanted ? { ...d.input, why: why.trim() } : d.input;
    await doing.run({ input, ...(d.signed ? { password } : {}) });
    setPassword('');
  };
  if (doing.done) return <Done done={doing.done}><p><a class="btn" href={hrefOf(j.subject)}>{t('judge.history', { id: j.subject.id })}</a> <button type="button" class="btn" onClick={done}>{t('judge.stay')}</button></p></Done>;
  return (
    <section class="sign" aria-labelledby="h-sign">
      <h2 id="h-sign" tabIndex={-1} ref={head}>{t('sign.title', { what: d.label })}</h2>
      <dl class="members review">
        {j.review.map((r) => <div><dt>{r.label}</dt><dd>{r.value}</dd></div>)}
        {j.bar.verdict && <div><dt>{t('sign.digest')}</dt><dd><Code><span class="hash">{j.bar.verdict.digest}</span></Code></dd></div>}
      </dl>
      <p class="meaning"><span>{t('sign.meaning')}</span><q>{d.meaning}</q></p>
      <form class="form" onSubmit={submit} noValidate>
        <FaultBox trouble={doing.trouble} missing={missing} />
        {d.reason_wanted && <div class="field"><label for="f-why">{t('sign.why')}</label><textarea id="f-why" rows={2} value={why} onInput={(e) => setWhy(e.currentTarget.value)} /></div>}
        {d.signed && <PasswordField value={password} set={setPassword} />}
        <p class="send"><SendButton doing={doing} label={d.signed ? t('sign.do', { what: d.label.toLowerCase() }) : d.label} /> <span class="apart" /> <button type="button" class="btn" onClick={back}>{t('sign.back')}</button></p>
      </form>
    </section>
  );
}

function Body({ judgement: j, again }: { judgement: Judgement; again(): void }): JSX.Element {
  const [chosen, setChosen] = useState<Decision | null>(null);
  const blocking = j.bar.findings.filter((f) => f.word !== 'inside');
  return (
    <>
      <h1 class="say">{j.title}</h1>
      <Outcome judgement={j} />
      <LoneBar bar={j.bar} />
      <div class="lonefacts"><Pins pins={j.bar.missing} gate={j.bar.title} /><BarWords bar={j.bar} /></div>
      {blocking.length > 0 && <section aria-labelledby="h-reasons"><Head id="h-reasons" title={t('judge.reasons')} /><ul class="reasons">{blocking.map((f) => <li><Mark word={f.word} /> {f.sentence}</li>)}</ul></section>}
      <Findings findings={j.bar.findings} caption={t('finding.at', { gate: j.bar.title })} note={j.bar.findings_words} />
      {chosen ? <Sign judgement={j} decision={chosen} back={() => setChosen(null)} done={() => { setChosen(null); again(); }} />
        : <><JudgeAgain judgement={j} again={again} /><Choices judgement={j} choose={setChosen} /></>}
    </>
  );
}
