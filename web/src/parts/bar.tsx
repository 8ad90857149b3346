/// The bar: where the thread stops, and what hangs on it.
import type { JSX } from 'preact';
import type { Bar, Permitted, Pin, PinAction } from '../api.ts';
import { t } from '../words.ts';
import { MissingList } from './faults.tsx';
import { Mark } from './marks.tsx';

/// The page of an act, its fields filled in as far as they are known.
export function actHref({ act, href, prefill }: { act?: string; href?: string; prefill?: Record<string, string> }): string {
  if (href) return href;
  const path = (act ?? '').split(/[ /]/).map(encodeURIComponent).join('/');
  return `/do/${path}${prefill && Object.keys(prefill).length ? `?${new URLSearchParams(prefill)}` : ''}`;
}

const ActionLink = ({ action }: { action: PinAction }): JSX.Element => <a class="btn" href={actHref(action)}>{action.label}</a>;

function PinTag({ pin }: { pin: Pin }): JSX.Element {
  return (
    <li class="pin"><div class="tag">
      <h3><Mark word={pin.word} />{pin.title}</h3>
      <p>{pin.sentence}</p>
      <span class="by"><b>{pin.who}</b></span>
      {pin.action && <ActionLink action={pin.action} />}
    </div></li>
  );
}

const most_pins = 4;
export function Pins({ pins, gate }: { pins: Pin[]; gate: string }): JSX.Element | null {
  if (pins.length === 0) return null;
  return (
    <>
      <h2 class="vh">{t('bar.missing_at', { gate })}</h2>
      <ul class="pins">{pins.slice(0, most_pins).map((p) => <PinTag pin={p} />)}</ul>
      {pins.length > most_pins && (
        <ul class="morepins" aria-label={t('bar.more')}>
          {pins.slice(most_pins).map((p) => <li><Mark word={p.word} /> <b>{p.title}</b> {p.sentence} <span class="soft">{p.who}</span> {p.action && <a href={actHref(p.action)}>{p.action.label}</a>}</li>)}
        </ul>
      )}
    </>
  );
}

/// What was decided, or the verdict it waits on.
export function BarWords({ bar }: { bar: Bar }): JSX.Element {
  const { release, verdict } = bar;
  return (
    <div class="barwords">
      <h2><Mark word={bar.state} /> {bar.title}</h2>
      <p>{bar.sentence}</p>
      {release && <p>{t('bar.release', { who: release.who, when: release.when })} <q>{release.meaning}</q> <a href={`/facts/${release.fact}`}>{t('done.fact', { sequence: release.fact })}</a></p>}
      {verdict?.overtaken && <p class="overtaken"><Mark word="overtaken" /> <b>{t('bar.overtaken')}</b> {verdict.overtaken}</p>}
    </div>
  );
}

/// Where the thread meets the bar on a page that has no thread.
export function LoneBar({ bar }: { bar: Bar }): JSX.Element {
  return <div class={`lonebar ${bar.state.replace(' ', '-')}`} aria-hidden="true" />;
}

export function Permissions({ permitted }: { permitted: Permitted[] }): JSX.Element | null {
  if (permitted.length === 0) return null;
  const blocked = permitted.filter((p) => p.blocked?.length);
  return (
    <section class="permitted" aria-labelledby="h-permitted">
      <h2 id="h-permitted">{t('permitted.title')}</h2>
      <div class="decide">
        {permitted.filter((p) => !p.blocked?.length).map((p) => <a class={p.far ? 'btn far' : 'btn'} href={actHref(p)}>{p.label}</a>)}
      </div>
      {blocked.map((p) => <div class="blocked"><h3>{t('permitted.not_yet', { what: p.label })}</h3><MissingList missing={p.blocked ?? []} /></div>)}
    </section>
  );
}
