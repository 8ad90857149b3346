import { render, type JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { api, type Session } from './api.ts';
import { listenWhile, useHeard } from './live.ts';
import { Adopt } from './pages/adopt.tsx';
import { Batch } from './pages/batch.tsx';
import { AllActs, Do } from './pages/do.tsx';
import { Fact, Facts } from './pages/facts.tsx';
import { Help } from './pages/help.tsx';
import { Judge } from './pages/judge.tsx';
import { Bench, Entry, Laboratory } from './pages/laboratory.tsx';
import { List } from './pages/lists.tsx';
import { Lot } from './pages/lot.tsx';
import { SignInPage } from './pages/sign_in.tsx';
import { Today } from './pages/today.tsx';
import { Waiting } from './parts/faults.tsx';
import { Sprite } from './parts/marks.tsx';
import { Page } from './parts/shell.tsx';
import { match, useHere } from './router.ts';
import { SessionContext } from './session.ts';
import { t } from './words.ts';

type Draw = (slots: Record<string, string>, query: URLSearchParams) => JSX.Element;

/// A pin names its subject, and what is missing, in the query.
function atBench(query: URLSearchParams): JSX.Element {
  const [kind = '', ...rest] = (query.get('subject') ?? '').split(':');
  const subject = { kind, id: rest.join(':') };
  const characteristic = query.get('characteristic');
  if (subject.id === '') return <Laboratory />;
  return characteristic ? <Entry subject={subject} characteristic={characteristic} sample={query.get('sample') ?? ''} /> : <Bench subject={subject} />;
}

/// A page that is loaded where it is used.
function loaded<P extends object>(load: () => Promise<(props: P) => JSX.Element | null>): (props: P) => JSX.Element | null {
  return (props) => {
    const [page, setPage] = useState<{ draw: (props: P) => JSX.Element | null } | null>(null);
    useEffect(() => { void load().then((draw) => setPage({ draw })); }, []);
    return page && <page.draw {...props} />;
  };
}

/// From then on the stations need no network to be drawn.
const OnFloor = loaded(async () => (await import('./station/floor.tsx')).Floor);
/// Pages of the office, which the floor's tablets need not load.
const Load = loaded(async () => (await import('./pages/load.tsx')).Load);
const Yield = loaded(async () => (await import('./pages/yield.tsx')).Yield);
const Bake = loaded(async () => (await import('./pages/bake.tsx')).Bake);
const Formula = loaded(async () => (await import('./pages/formula.tsx')).Formula);
const Trend = loaded(async () => (await import('./pages/characteristic.tsx')).Characteristic);

function Oven({ code }: { code: string }): JSX.Element | null {
  const [page, setPage] = useState<{ draw: (props: { code: string }) => JSX.Element } | null>(null);
  useEffect(() => { void import('./pages/oven.tsx').then((m) => setPage({ draw: m.Oven })); }, []);
  return page && <page.draw code={code} />;
}

type ThingPages = typeof import('./pages/things.tsx');

/// Documents are issued in the office: the floor's tablets need not load their pages either.
function OfThings({ draw }: { draw: (pages: ThingPages) => JSX.Element }): JSX.Element | null {
  const [pages, setPages] = useState<ThingPages | null>(null);
  useEffect(() => { void import('./pages/things.tsx').then(setPages); }, []);
  return pages && draw(pages);
}

/// The first address that fits is drawn.
const pages: [string, Draw][] = [
  ['/', () => <Today />],
  ['/yield', () => <Yield />],
  ['/characteristics/{plan}/{name}', ({ plan = '', name = '' }) => <Trend key={`${plan}/${name}`} plan={plan} name={name} />],
  ['/batches', () => <List key="batches" of="batches" />],
  ['/batches/{id}', ({ id = '' }) => <Batch key={id} id={id} />],
  ['/batches/{id}/bake/{operation}', ({ id = '', operation = '' }) => <Bake key={`${id} ${operation}`} batch={id} operation={operation} />],
  ['/lots', () => <List key="lots" of="lots" />],
  ['/lots/{id}', ({ id = '' }) => <Lot key={id} id={id} />],
  ['/loads', () => <List key="loads" of="loads" />],
  ['/loads/{id}', ({ id = '' }) => <Load key={id} id={id} />],
  ['/ovens/{code}', ({ code = '' }) => <Oven key={code} code={code} />],
  ['/laboratory', (_, q) => atBench(q)],
  ['/laboratory/{kind}/{id}', ({ kind = '', id = '' }) => <Bench subject={{ kind, id }} />],
  ['/laboratory/{kind}/{id}/{characteristic}', ({ kind = '', id = '', characteristic = '' }, q) => <Entry subject={{ kind, id }} characteristic={characteristic} sample={q.get('sample') ?? ''} />],
  ['/judge/{gate}/{kind}/{id}', ({ gate = '', kind = '', id = '' }) => <Judge gate={gate} subject={{ kind, id }} />],
  ['/adopt/{plan}/{issue}/{characteristic}', ({ plan = '', issue = '', characteristic = '' }) => <Adopt plan={plan} issue={issue} characteristic={characteristic} />],
  ['/stations', () => <OnFloor name="" />],
  ['/stations/{name}', ({ name = '' }) => <OnFloor name={name} />],
  ['/shift', () => <OnFloor name="shift" />],
  ['/formulas/{code}/{from}/{to}', ({ code = '', from = '', to = '' }) => <Formula key={`${code} ${from} ${to}`} code={code} from={from} to={to} />],
  ['/things', () => <OfThings draw={(p) => <p.Things />} />],
  ['/things/{kind}', ({ kind = '' }) => <OfThings draw={(p) => <p.ThingList key={kind} kind={kind} />} />],
  ['/things/{kind}/new', ({ kind = '' }) => <OfThings draw={(p) => <p.IssueThing kind={kind} />} />],
  ['/things/{kind}/import', ({ kind = '' }) => <OfThings draw={(p) => <p.ImportThings kind={kind} />} />],
  ['/things/{kind}/{code}', ({ kind = '', code = '' }) => <OfThings draw={(p) => <p.Thing kind={kind} code={code} />} />],
  ['/things/{kind}/{code}/issue', ({ kind = '', code = '' }) => <OfThings draw={(p) => <p.IssueThing kind={kind} code={code} />} />],
  ['/do', () => <AllActs />],
  ['/do/{subject}/{verb}', ({ subject = '', verb = '' }, q) => <Do path={`${subject}/${verb}`} query={q} />],
  ['/facts', (_, q) => <Facts subject={q.get('subject') ?? ''} />],
  ['/facts/{sequence}', ({ sequence = '' }) => <Fact sequence={sequence} />],
  ['/sign-in', (_, q) => <SignInPage then={q.get('then')} />],
  ['/help', () => <Help />],
];

function Nowhere(): JSX.Element {
  return <Page title={t('nowhere.title')} crumbs={[{ words: t('nowhere.title') }]}><h1 class="say">{t('nowhere.title')}</h1><p>{t('nowhere.more')}</p></Page>;
}

function pageAt(path: string, query: URLSearchParams): JSX.Element {
  for (const [pattern, draw] of pages) {
    const slots = match(pattern, path);
    if (slots) return draw(slots, query);
  }
  return <Nowhere />;
}

/// What anybody may read; every other address shows the way in first and then itself.
const open_to_all = new Set(['/sign-in', '/help']);

function App(): JSX.Element {
  const { path, query } = useHere();
  const [session, setSession] = useState<Session | null>(null);
  const [asked, setAsked] = useState(false);
  useEffect(() => { api.session().then(setSession, () => undefined).finally(() => setAsked(true)); }, []);
  useHeard(null, (event) => { if (event) setSession((s) => s && { ...s, plant: { ...s.plant, record_sequence: event.sequence } }); });
  const here = Boolean(session?.person);
  useEffect(() => listenWhile(here), [here]);
  // A station asks in its own way who works there.
  const guest = session !== null && !here && !open_to_all.has(path) && !path.startsWith('/stations/');
  const page = asked ? pageAt(path, query) : <Page title={t('product')}><Waiting /></Page>;
  return <SessionContext.Provider value={{ session, set: setSession }}>{guest ? <SignInPage then={null} stay /> : page}</SessionContext.Provider>;
}

const root = document.getElementById('pages');
if (root) render(<><Sprite /><App /></>, root);
