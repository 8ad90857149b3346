/// Every act has a page, made from its fields; the address may fill them in.
import type { JSX } from 'preact';
import { api, type Act } from '../api.ts';
import { useAsk } from '../ask.ts';
import { nested } from '../entry.ts';
import { ActForm } from '../parts/act_form.tsx';
import { Answer } from '../parts/faults.tsx';
import { Page } from '../parts/shell.tsx';
import { useSession } from '../session.ts';
import { fromName, t } from '../words.ts';

export function Do({ path, query }: { path: string; query: URLSearchParams }): JSX.Element {
  const asked = useAsk('acts', api.acts);
  const title = fromName(path.replace('/', ' '));
  return (
    <Page title={title} crumbs={[{ words: t('do.all'), href: '/do' }, { words: title }]} caution>
      <Answer asked={asked}>{(acts) => {
        const act = acts.find((a) => a.path === path);
        return act ? <OneAct key={path + query.toString()} act={act} prefill={Object.fromEntries(query)} /> : <p role="alert">{t('do.unknown', { path })}</p>;
      }}</Answer>
    </Page>
  );
}

function OneAct({ act, prefill }: { act: Act; prefill: Record<string, string> }): JSX.Element {
  return (
    <>
      <h1 class="say">{fromName(act.words)}</h1>
      <Allowed operation={act.operation} />
      {act.prepared && Object.keys(prefill).length === 0 ? <p class="notice">{t('do.prepared')} <a href="/loads">{t('loads.title')}</a>, <a href="/batches">{t('batches.title')}</a></p>
        : <ActForm act={act.prepared ? asGiven(act, prefill) : act} start={nested(prefill)} label={t('do.record')} />}
    </>
  );
}

/// What is prepared elsewhere takes only what the address gives.
const asGiven = (act: Act, prefill: Record<string, string>): Act =>
  ({ ...act, fields: Object.keys(prefill).map((name) => ({ name, type: 'text', optional: false })) });

/// Known before the form is filled in; the service decides all the same.
export function Allowed({ operation }: { operation: string }): JSX.Element {
  const { session } = useSession();
  if (!session?.person) return <p class="notice"><a href={`/sign-in?then=${encodeURIComponent(location.pathname + location.search)}`}>{t('do.sign_in')}</a></p>;
  if (operation === '' || session.person.operations.includes(operation)) return <p class="asof">{t('do.may', { duty: session.person.duty, operation })}</p>;
  return <p class="notice" role="status">{t('do.may_not', { duty: session.person.duty, operation })}</p>;
}

export function AllActs(): JSX.Element {
  const asked = useAsk('acts', api.acts);
  return (
    <Page title={t('do.all')} crumbs={[{ words: t('do.all') }]}>
      <h1 class="say">{t('do.all')}</h1>
      <Answer asked={asked}>{(acts) => (
        <table class="plain"><caption class="vh">{t('do.all')}</caption>
          <thead><tr><th scope="col">{t('do.act')}</th><th scope="col">{t('do.name')}</th><th scope="col">{t('do.operation')}</th></tr></thead>
          <tbody>{acts.map((a) => <tr><td><a href={`/do/${a.path}`}>{fromName(a.words)}</a></td><td class="no">{a.name}</td><td>{a.operation}{a.signed ? `, ${t('do.signed')}` : ''}</td></tr>)}</tbody></table>
      )}</Answer>
    </Page>
  );
}
