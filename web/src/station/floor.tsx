/// The floor: where the stations are, and the one that is asked for.
import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { Page } from '../parts/shell.tsx';
import { useSession } from '../session.ts';
import { t, type Key } from './words.ts';
import { Flow } from './flow.tsx';
import { LayerContext, type Layer } from './kit.tsx';
import { floor, useReachable, watchNetwork } from './net.ts';
import { places } from './places.ts';
import { keepSending, onSignedOut, personIs } from './queue.ts';
import { keepShell, recallSession, rememberSession } from './shell.ts';
import { ShiftPage } from './shift.tsx';
import { WeighUp } from './weigh.tsx';

const send_again_ms = 5000;
const stations: [string, Key][] = [['goods-in', 'station.goods.title'], ['plates', 'station.plates.title'], ['weigh-up', 'station.weigh.title'], ['press', 'station.press.title'], ['clamp', 'station.clamp.title'], ['unclamp', 'station.unclamp.title'], ['finishing', 'station.finishing.title'], ['packing', 'station.packing.title'], ['ship', 'station.ship.title']];

function List(): JSX.Element {
  return (
    <Page title={t('floor.title')} at="/stations" crumbs={[{ words: t('floor.title') }]}>
      <h1 class="say">{t('station.places.say')}</h1>
      <ul class="st-places">
        {stations.map(([name, title]) => <li><a class="btn" href={`/stations/${name}`}>{t(title)}</a></li>)}
        <li><a class="btn" href="/shift">{t('station.shift.title')}</a></li>
      </ul>
    </Page>
  );
}

function Station({ name }: { name: string }): JSX.Element {
  const { session, set } = useSession();
  const [layer, setLayer] = useState<Layer>('work');
  const reachable = useReachable();
  const nobody = session !== null && session.person === null;
  useEffect(() => watchNetwork(), []);
  useEffect(() => keepSending(send_again_ms), []);
  // The page came, its first question did not: it is asked again as soon as the service is back.
  useEffect(() => { if (!session) floor.session().then(set, () => { const kept = recallSession(); if (kept) set(kept); }); }, [reachable]);
  useEffect(() => { if (session) rememberSession(session); }, [session]);
  useEffect(() => { void keepShell(); }, []);
  useEffect(() => { if (session) personIs(session.person?.number ?? null); }, [session?.person?.number]);
  useEffect(() => onSignedOut(() => { if (session) set({ ...session, person: null }); }), [session]);
  useEffect(() => { if (!nobody && layer === 'crew') setLayer('work'); }, [nobody]);
  if (!session) return <main class="st-layer"><h1>{t('station.asking')}</h1></main>;
  const place = places.find((p) => p.name === name);
  return (
    <LayerContext.Provider value={{ layer: nobody && layer === 'work' ? 'crew' : layer, show: setLayer }}>
      {name === 'weigh-up' ? <WeighUp /> : place ? <Flow key={name} place={place} /> : <List />}
    </LayerContext.Provider>
  );
}

export function Floor({ name }: { name: string }): JSX.Element {
  if (name === 'shift') return <ShiftPage />;
  return name === '' ? <List /> : <Station name={name} />;
}
