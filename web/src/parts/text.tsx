import type { ComponentChildren, JSX } from 'preact';
import type { Subject } from '../api.ts';
import { known, spans } from '../words.ts';

/// A sentence of the service; `**…**` sets off its first words.
export function Said({ text }: { text: string }): JSX.Element {
  return <>{spans(text).map((s) => (s.strong ? <b>{s.text}</b> : s.text))}</>;
}

/// A number that anyone reads off a plate or label.
export const Code = ({ children }: { children: ComponentChildren }): JSX.Element => <span class="no">{children}</span>;

const page: Record<string, string> = { batch: '/batches/', lot: '/lots/', load: '/loads/', oven: '/ovens/' };
const things = ['material', 'compound', 'part', 'machine', 'gauge', 'person', 'plan', 'programme', 'approval', 'layout', 'kinetics', 'survey', 'stacking'];

/// Every thing has an address; those without a page of their own show their facts.
export function hrefOf({ kind, id }: Subject): string {
  const own = page[kind];
  if (own) return own + encodeURIComponent(id);
  if (things.includes(kind)) return `/things/${kind}/${encodeURIComponent(id)}`;
  return `/facts?subject=${encodeURIComponent(`${kind}:${id}`)}`;
}

export function Thing({ kind, id, named }: Subject & { named?: boolean }): JSX.Element {
  return <>{named && `${known(`kind.${kind}`, kind)} `}<a class="no" href={hrefOf({ kind, id })}>{id}</a></>;
}

/// Figures come finished from the service and take their looks from our classes.
export const Figure = ({ svg, large }: { svg: string; large?: boolean }): JSX.Element =>
  <div class={large ? 'fig large' : 'fig'} dangerouslySetInnerHTML={{ __html: svg }} />;

export function Head({ id, title, note }: { id: string; title: ComponentChildren; note?: ComponentChildren }): JSX.Element {
  return <div class="head"><h2 id={id}>{title}</h2>{note ? <p>{note}</p> : null}</div>;
}
