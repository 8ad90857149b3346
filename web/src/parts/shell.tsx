/// What stands around every page: where you are, find, who; plant, time zone and record below.
import type { ComponentChildren, JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { api } from '../api.ts';
import { useConnected } from '../live.ts';
import { useSession } from '../session.ts';
import { t } from '../words.ts';
import { Find } from './find.tsx';

export interface Crumb { words: string; code?: string; href?: string }

function Path({ crumbs }: { crumbs: Crumb[] }): JSX.Element {
  const all = crumbs.length ? [{ words: t('today.title'), href: '/' }, ...crumbs] : [];
  return (
    <nav class="path" aria-label={t('shell.where')}>
      {all.map((c, i) => {
        const words = <>{c.words}{'code' in c && c.code ? <> <span class="no">{c.code}</span></> : null}</>;
        const last = i === all.length - 1;
        return <>{i > 0 && <span aria-hidden="true">/</span>}{last || !c.href ? <b aria-current={last ? 'page' : undefined}>{words}</b> : <a href={c.href}>{words}</a>}</>;
      })}
    </nav>
  );
}

const places = [['/', 'today.title'], ['/batches', 'batches.title'], ['/lots', 'lots.title'], ['/loads', 'loads.title'], ['/laboratory', 'laboratory.title'], ['/stations', 'floor.title'], ['/things', 'things.title']] as const;
function Places({ at }: { at: string }): JSX.Element {
  return (
    <nav class="places" aria-label={t('shell.places')}>
      {places.map(([href, key]) => <a href={href} aria-current={at === href ? 'page' : undefined}>{t(key)}</a>)}
    </nav>
  );
}

function Who(): JSX.Element {
  const { session, set } = useSession();
  const person = session?.person;
  const leave = async (): Promise<void> => {
    await api.signOut();
    if (session) set({ ...session, person: null });
  };
  if (!person) return <a class="who" href={`/sign-in?then=${encodeURIComponent(location.pathname + location.search)}`}>{t('sign_in.do')}</a>;
  return <span class="who"><span class="soft">{person.duty}</span> <button type="button" class="plain" onClick={leave}>{t('sign_in.leave')}</button></span>;
}

function Foot({ title }: { title: string }): JSX.Element | null {
  const { session } = useSession();
  if (!session?.person) return null;
  const { plant, person, version } = session;
  return (
    <footer class="foot">
      <p class="screen">{t('shell.foot', { plant: plant.name, zone: `${plant.zone} (now ${plant.zone_words})`, sequence: plant.record_sequence, version })}</p>
      <p class="printed">{t('shell.printed', { title, now: new Date().toISOString().slice(0, 16).replace('T', ' '), who: person.duty, sequence: plant.record_sequence, version })}</p>
    </footer>
  );
}

function Connection(): JSX.Element {
  const connected = useConnected();
  return <div class="connection" role="status">{connected ? null : <p><b>{t('live.cut')}</b> {t('live.cut.more')}</p>}</div>;
}

/// `title` is the page's own; focus goes to the page when the address changes.
export function Page({ title, crumbs, at, children, caution }: { title: string; crumbs?: Crumb[]; at?: string; children: ComponentChildren; caution?: boolean }): JSX.Element {
  const main = useRef<HTMLElement>(null);
  const { session } = useSession();
  useEffect(() => { document.title = `${title} · ${t('product')}`; }, [title]);
  useEffect(() => {
    const wanted = document.querySelector<HTMLElement>('main [autofocus]');
    if (wanted) wanted.focus();
    else if (document.activeElement === document.body || document.activeElement?.tagName === 'A') main.current?.focus({ preventScroll: true });
  }, [title]);
  return (
    <>
      <a class="skip" href="#main" onClick={(e) => { e.preventDefault(); main.current?.focus(); }}>{t('shell.skip')}</a>
      <header class="top">
        <a class="brand" href="/"><svg class="brandmark" aria-hidden="true"><use href="#brand" /></svg>{t('product')}</a>
        <Places at={at ?? ''} />
        {session?.person ? <Find /> : null}
        <Who />
        <a class="helplink" href="/help">{t('help.title')}</a>
      </header>
      <Connection />
      {crumbs?.length ? <Path crumbs={crumbs} /> : null}
      <main class="wrap" id="main" tabIndex={-1} ref={main}>
        {children}
        {caution && session ? <p class="caution">{session.caution}</p> : null}
      </main>
      <Foot title={title} />
    </>
  );
}
