/// The form of one act: its fields, when it happened, the signature where one is asked, and what became of it.
import type { ComponentChildren, JSX } from 'preact';
import { useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { Act, ActDone, ActRequest, Input } from '../api.ts';
import { useAct, type Doing } from '../act.ts';
import { emptyPaths, formFrom, pathParts, toInput, type Entry } from '../entry.ts';
import { useUnsaved } from '../router.ts';
import { fromName, known, t } from '../words.ts';
import { FaultBox, type FieldFault } from './faults.tsx';
import { FieldControls, enterGoesOn } from './fields.tsx';
import { hrefOf } from './text.tsx';

const plainName = (path: string): string => {
  const parts = pathParts(path);
  const name = parts.filter((p) => typeof p === 'string').at(-1) ?? '';
  const row = parts.filter((p) => typeof p === 'number').at(-1);
  const words = known(`field.${String(name)}`, fromName(String(name)));
  return typeof row === 'number' ? t('form.in_row', { what: words, row: row + 1 }) : words;
};
const asFaults = (paths: string[]): FieldFault[] => paths.map((path) => ({ path, words: t('fault.empty', { what: plainName(path) }) }));

export interface When { at: string; why: string }
export const whenMembers = ({ at, why }: When): Pick<ActRequest, 'at' | 'late_because'> => ({ ...(at ? { at } : {}), ...(why ? { late_because: why } : {}) });

/// Most things are recorded as they happen; one that is not says so and why.
export function WhenField({ when, set }: { when: When; set(when: When): void }): JSX.Element {
  return (
    <details class="more" open={when.at !== ''}>
      <summary>{t('when.earlier')}</summary>
      <div class="fields">
        <div class="field"><label for="f-at">{t('when.at')}<span class="hint">{t('hint.time')}</span></label>
          <input id="f-at" value={when.at} autocomplete="off" onInput={(e) => set({ ...when, at: e.currentTarget.value })} /><p class="echo" /></div>
        <div class="field"><label for="f-late-because">{t('when.why')}</label>
          <input id="f-late-because" value={when.why} autocomplete="off" onInput={(e) => set({ ...when, why: e.currentTarget.value })} /><p class="echo" /></div>
      </div>
    </details>
  );
}

export function PasswordField({ value, set }: { value: string; set(value: string): void }): JSX.Element {
  return (
    <div class="field"><label for="f-password">{t('sign.password')}<span class="hint">{t('sign.password.more')}</span></label>
      <input id="f-password" type="password" autocomplete="current-password" value={value} onInput={(e) => set(e.currentTarget.value)} /></div>
  );
}

export function Done({ done, children }: { done: ActDone; children?: ComponentChildren }): JSX.Element {
  const box = useRef<HTMLDivElement>(null);
  // Before the next key: a late focus would swallow the next scan.
  useLayoutEffect(() => box.current?.focus(), [done]);
  const last = done.sequences.at(-1);
  return (
    <div class="done" role="status" tabIndex={-1} ref={box}>
      <h2>{done.words}</h2>
      <p>{done.repeated ? t('done.repeated', { recorded: done.recorded }) : t('done.recorded', { recorded: done.recorded })}{' '}
        {last !== undefined && <a href={`/facts/${last}`}>{t('done.fact', { sequence: last })}</a>}</p>
      {done.created && <p><a href={done.created.href ?? hrefOf(done.created)}>{t('done.open', { kind: known(`kind.${done.created.kind}`, done.created.kind), id: done.created.id })}</a></p>}
      {children}
    </div>
  );
}

export function SendButton({ doing, label, wide }: { doing: Doing; label: string; wide?: boolean }): JSX.Element {
  return <button class={wide ? 'btn do wide' : 'btn do'} type="submit" aria-disabled={doing.sending} disabled={doing.sending}>{doing.sending ? t('form.sending') : label}</button>;
}

export function ActForm({ act, start, locked, label, shape, onDone }: {
  act: Act; start: Input; locked?: ReadonlySet<string>; label: string; shape?: (input: Input) => Input; onDone?: (done: ActDone) => void;
}): JSX.Element {
  const first = useMemo(() => formFrom(act.fields, start), [act]);
  const [form, setForm] = useState<Entry & { kind: 'object' }>(first);
  const [when, setWhen] = useState<When>({ at: '', why: '' });
  const [password, setPassword] = useState('');
  const [missing, setMissing] = useState<FieldFault[]>([]);
  const doing = useAct(act.path);
  useUnsaved(form !== first && doing.done === null, t('form.unsaved'));

  const submit = async (e: Event): Promise<void> => {
    e.preventDefault();
    const paths = [...emptyPaths(act.fields, form), ...(act.signed && !password ? ['password'] : [])];
    setMissing(asFaults(paths));
    if (paths.length) return;
    const input = toInput(act.fields, form);
    const done = await doing.run({ input: shape ? shape(input) : input, ...whenMembers(when), ...(act.signed ? { password } : {}) });
    setPassword('');
    if (done) onDone?.(done);
  };
  const refused = doing.trouble?.kind === 'refused' ? doing.trouble.problem.where?.field : undefined;
  const faulty = new Set([...missing.map((m) => m.path), ...(refused ? [refused] : [])]);

  if (doing.done) return <Done done={doing.done}><p><button type="button" class="btn" onClick={() => { doing.forget(); setForm(first); }}>{t('done.another')}</button></p></Done>;
  return (
    <form class="form" onSubmit={submit} onKeyDown={enterGoesOn} noValidate>
      <FaultBox trouble={doing.trouble} missing={missing} />
      {act.caution && <p class="caution">{act.caution}</p>}
      <FieldControls fields={act.fields} form={form} set={setForm} faulty={faulty} {...(locked ? { locked } : {})} />
      <WhenField when={when} set={setWhen} />
      {act.signed && <PasswordField value={password} set={setPassword} />}
      <p class="send"><SendButton doing={doing} label={label} /> <span class="soft">{t('form.nothing_yet')}</span></p>
    </form>
  );
}
