/// A limit whose source nobody has confirmed decides nothing, until quality has read the document and signs for it.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { api, type AdoptionPage } from '../api.ts';
import { useAct } from '../act.ts';
import { useAsk } from '../ask.ts';
import { Done, PasswordField, SendButton } from '../parts/act_form.tsx';
import { Answer, FaultBox, type FieldFault } from '../parts/faults.tsx';
import { Mark } from '../parts/marks.tsx';
import { Page } from '../parts/shell.tsx';
import { Thing } from '../parts/text.tsx';
import { t } from '../words.ts';
import { Allowed } from './do.tsx';

export function Adopt({ plan, issue, characteristic }: { plan: string; issue: string; characteristic: string }): JSX.Element {
  const asked = useAsk(`adopt ${plan} ${issue} ${characteristic}`, () => api.adoption(plan, issue, characteristic), { kind: 'plan', id: plan });
  return (
    <Page title={t('adopt.title', { characteristic })} caution crumbs={[{ words: t('kind.plan'), code: plan, href: `/things/plan/${encodeURIComponent(plan)}` }, { words: t('adopt.crumb') }]}>
      <Answer asked={asked}>{(page) => <Body page={page} />}</Answer>
    </Page>
  );
}

function Body({ page: p }: { page: AdoptionPage }): JSX.Element {
  return (
    <>
      <h1 class="say"><b>{p.title}</b>: {p.limit.words}</h1>
      <p class="verdict"><Mark word="unconfirmed limit" /> {p.why_unconfirmed}</p>
      <dl class="members">
        <div><dt>{t('adopt.limit')}</dt><dd>{p.limit.words}</dd></div>
        <div><dt>{t('adopt.source')}</dt><dd>{p.limit.source}</dd></div>
        <div><dt>{t('kind.plan')}</dt><dd><Thing kind="plan" id={p.plan} />, {t('issue.n', { n: p.plan_issue })}</dd></div>
        {p.waiting.length > 0 && <div><dt>{t('adopt.waiting')}</dt><dd>{p.waiting.map((w) => <><Thing {...w} named /> </>)}</dd></div>}
      </dl>
      {p.adopted ? <p>{t('adopt.done', { who: p.adopted.who, when: p.adopted.when })} <q>{p.adopted.meaning}</q> <a href={`/facts/${p.adopted.fact}`}>{t('done.fact', { sequence: p.adopted.fact })}</a></p>
        : <><Allowed operation={p.operation} /><AdoptForm page={p} /></>}
    </>
  );
}

function AdoptForm({ page: p }: { page: AdoptionPage }): JSX.Element {
  const [read, setRead] = useState('');
  const [why, setWhy] = useState('');
  const [password, setPassword] = useState('');
  const [missing, setMissing] = useState<FieldFault[]>([]);
  const doing = useAct(p.act.replace(' ', '/'));
  const submit = async (e: Event): Promise<void> => {
    e.preventDefault();
    const wanted: [string, string, string][] = [['document_read', read, t('adopt.document.missing')], ['why', why, t('sign.why.missing')], ['password', password, t('sign.password.missing')]];
    const faults = wanted.filter(([, text]) => text.trim() === '').map(([path, , words]) => ({ path, words }));
    setMissing(faults);
    if (faults.length) return;
    await doing.run({ input: { plan: p.plan, plan_issue: p.plan_issue, characteristic: p.characteristic, document_read: read.trim(), why: why.trim() }, password });
    setPassword('');
  };
  if (doing.done) return <Done done={doing.done} />;
  return (
    <form class="form" onSubmit={submit} noValidate>
      <FaultBox trouble={doing.trouble} missing={missing} />
      <p class="prose">{t('adopt.more')}</p>
      <div class="field"><label for="f-document-read">{t('adopt.document')}<span class="hint">{t('adopt.document.more')}</span></label><input id="f-document-read" value={read} autocomplete="off" onInput={(e) => setRead(e.currentTarget.value)} /></div>
      <div class="field"><label for="f-why">{t('sign.why')}</label><textarea id="f-why" rows={2} value={why} onInput={(e) => setWhy(e.currentTarget.value)} /></div>
      <PasswordField value={password} set={setPassword} />
      <p class="send"><SendButton doing={doing} label={t('adopt.do')} /></p>
    </form>
  );
}
