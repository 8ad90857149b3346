/// Controls made from fields: every act can be done without a page of its own.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { api, type Field } from '../api.ts';
import { controlId, emptyEntry, itemField, type Entry } from '../entry.ts';
import { readTyped } from '../typed.ts';
import { fromName, known, t } from '../words.ts';

export const labelOf = (field: Field): string => field.label ?? known(`field.${field.name}`, fromName(field.name));

type TextEntry = Entry & { kind: 'text' };
interface Props { field: Field; path: string; entry: Entry; set(entry: Entry): void; faulty: ReadonlySet<string>; locked?: ReadonlySet<string> }

/// Enter goes on to the next control, as a scanner expects; only the button sends.
export function enterGoesOn(e: KeyboardEvent): void {
  const from = e.target;
  if (e.key !== 'Enter' || e.ctrlKey || !(from instanceof HTMLInputElement || from instanceof HTMLSelectElement)) return;
  e.preventDefault();
  const controls = [...(from.form?.querySelectorAll<HTMLElement>('input,select,textarea,button[type=submit]') ?? [])];
  const next = controls.slice(controls.indexOf(from) + 1).find((c) => !(c as HTMLInputElement).disabled && c.offsetParent !== null);
  next?.focus();
}

export function Echo({ typed, id, unit = '' }: { typed: string; id: string; unit?: string }): JSX.Element {
  const read = readTyped(typed, unit === '1' ? '' : unit);
  if (read.kind === 'empty') return <p class="echo" id={id} />;
  if (read.kind === 'number') return <p class="echo" id={id}>{t('echo.read', { text: read.text })}</p>;
  if (read.kind === 'ambiguous') return <p class="echo bad" id={id}>{t('echo.ambiguous', { ...read })}</p>;
  return <p class="echo bad" id={id}>{t('echo.unreadable')}</p>;
}

const hints: Record<string, string> = { 'number with unit': 'hint.measure', 'time': 'hint.time', 'day': 'hint.day', 'whole number': 'hint.whole' };
const numeric = ['number', 'number with unit', 'whole number'];

function TextControl({ field, path, entry, set, faulty, locked }: Props & { entry: TextEntry }): JSX.Element {
  const id = controlId(path);
  const shared = {
    id, 'aria-invalid': faulty.has(path), 'aria-describedby': `${id}-echo`, readOnly: locked?.has(path) ?? false,
    value: entry.text, autocomplete: 'off', spellcheck: false,
    onInput: (e: { currentTarget: { value: string } }) => set({ ...entry, text: e.currentTarget.value }),
  };
  if (field.words?.length) {
    return (
      <select id={id} aria-invalid={faulty.has(path)} value={entry.text} onChange={(e) => set({ kind: 'text', text: e.currentTarget.value })}>
        <option value="">{field.optional ? t('form.none') : t('form.choose')}</option>
        {field.words.map((w) => <option value={w} selected={w === entry.text}>{w}</option>)}
      </select>
    );
  }
  if (field.type === 'object') return <textarea {...shared} rows={8} class="code" />;
  if (field.type === 'day') return <input {...shared} type="date" />;
  if (['why', 'words', 'sampling', 'meaning'].includes(field.name)) return <textarea {...shared} rows={2} />;
  return <input {...shared} class={field.type === 'text' ? 'code' : ''} {...(field.type === 'whole number' ? { inputmode: 'numeric' as const } : {})} />;
}

/// A file is sent at once and named by its hash; the act is not asked before its button.
function FileField({ field, path, entry, set }: Props & { entry: TextEntry }): JSX.Element {
  const id = controlId(path);
  const [said, setSaid] = useState('');
  const choose = async (file: File | undefined): Promise<void> => {
    set({ ...entry, text: '' });
    setSaid(file ? t('form.file.sending') : '');
    if (!file) return;
    try {
      const kept = await api.attach(file, () => undefined);
      set({ ...entry, text: kept.hash });
      setSaid(t('form.file.kept', { name: file.name }));
    } catch {
      setSaid(t('form.file.failed'));
    }
  };
  return (
    <div class="field">
      <label for={id}>{labelOf(field)}{field.optional && <span class="soft"> {t('form.optional')}</span>}</label>
      <input id={id} type="file" aria-describedby={`${id}-echo`} onChange={(e) => void choose(e.currentTarget.files?.[0])} />
      <p class="echo" id={`${id}-echo`} role="status">{said}</p>
    </div>
  );
}

function OneField(props: Props & { entry: TextEntry }): JSX.Element {
  const { field, path, entry } = props;
  const id = controlId(path);
  const hint = field.hint ?? (hints[field.type] ? known(hints[field.type] ?? '', '') : '');
  return (
    <div class="field">
      <label for={id}>{labelOf(field)}{field.optional && <span class="soft"> {t('form.optional')}</span>}{hint && <span class="hint">{hint}</span>}</label>
      <TextControl {...props} />
      {numeric.includes(field.type) ? <Echo typed={entry.text} id={`${id}-echo`} /> : <p class="echo" id={`${id}-echo`} />}
    </div>
  );
}

function FlagField({ field, path, entry, set }: Props & { entry: { kind: 'flag'; on: boolean } }): JSX.Element {
  const id = controlId(path);
  return (
    <div class="field flag">
      <input id={id} type="checkbox" checked={entry.on} onChange={(e) => set({ kind: 'flag', on: e.currentTarget.checked })} />
      <label for={id}>{labelOf(field)}</label>
    </div>
  );
}

const without = <T,>(list: T[], at: number): T[] => list.filter((_, i) => i !== at);
const withAt = <T,>(list: T[], at: number, value: T): T[] => list.map((v, i) => (i === at ? value : v));

/// After a press the new control has the focus, so that a scanner can go on.
const focusSoon = (id: string): void => void setTimeout(() => {
  const made = document.getElementById(id);
  (made?.matches('input,select,textarea') ? made : made?.querySelector<HTMLElement>('input,select,textarea'))?.focus();
});

function ListField({ field, path, entry, set, faulty, locked }: Props & { entry: { kind: 'list'; items: Entry[] } }): JSX.Element {
  const item = itemField(field);
  const id = controlId(path);
  const add = (): void => {
    set({ kind: 'list', items: [...entry.items, emptyEntry(item)] });
    focusSoon(controlId(`${path}[${entry.items.length}]`));
  };
  return (
    <fieldset class="fset" id={id} tabIndex={-1}>
      <legend>{labelOf(field)}{field.optional && <span class="soft"> {t('form.optional')}</span>}</legend>
      <ol class="items">
        {entry.items.map((one, i) => (
          <li class={one.kind === 'object' ? 'item' : 'item short'}>
            <FieldControl field={{ ...item, label: `${labelOf(field)} ${i + 1}` }} path={`${path}[${i}]`} entry={one} faulty={faulty} {...(locked ? { locked } : {})}
              set={(e) => set({ kind: 'list', items: withAt(entry.items, i, e) })} />
            <button type="button" class="plain" onClick={() => set({ kind: 'list', items: without(entry.items, i) })}>{t('form.remove', { what: `${labelOf(field)} ${i + 1}` })}</button>
          </li>
        ))}
      </ol>
      <button type="button" class="btn small" onClick={add}>{t('form.add', { what: labelOf(field) })}</button>
    </fieldset>
  );
}

function MapField({ field, path, entry, set, faulty }: Props & { entry: { kind: 'map'; items: { name: string; entry: Entry }[] } }): JSX.Element {
  const item = itemField(field);
  const { items } = entry;
  const update = (next: typeof items): void => set({ kind: 'map', items: next });
  return (
    <fieldset class="fset" id={controlId(path)} tabIndex={-1}>
      <legend>{labelOf(field)}{field.optional && <span class="soft"> {t('form.optional')}</span>}</legend>
      <ol class="items">
        {items.map((one, i) => {
          const own = `${path}.${one.name || i}`;
          const id = `${controlId(path)}-name-${i}`;
          return (
            <li class="item short">
              <div class="field"><label for={id}>{t('form.name_of', { what: labelOf(field) })}</label>
                <input id={id} value={one.name} autocomplete="off" onInput={(e) => update(withAt(items, i, { ...one, name: e.currentTarget.value }))} /><p class="echo" /></div>
              <FieldControl field={{ ...item, label: t('form.value_of', { what: one.name || labelOf(field) }) }} path={own} entry={one.entry} faulty={faulty}
                set={(e) => update(withAt(items, i, { ...one, entry: e }))} />
              <button type="button" class="plain" onClick={() => update(without(items, i))}>{t('form.remove', { what: one.name || String(i + 1) })}</button>
            </li>
          );
        })}
      </ol>
      <button type="button" class="btn small" onClick={() => { update([...items, { name: '', entry: emptyEntry(item) }]); focusSoon(`${controlId(path)}-name-${items.length}`); }}>{t('form.add', { what: labelOf(field) })}</button>
    </fieldset>
  );
}

export function FieldControl(props: Props): JSX.Element {
  const { field, path, entry } = props;
  if (entry.kind === 'flag') return <FlagField {...props} entry={entry} />;
  if (entry.kind === 'list') return <ListField {...props} entry={entry} />;
  if (entry.kind === 'map') return <MapField {...props} entry={entry} />;
  if (entry.kind === 'text' && path === 'attachment') return <FileField {...props} entry={entry} />;
  if (entry.kind === 'text') return <OneField {...props} entry={entry} />;
  return (
    <fieldset class="fset" id={controlId(path)} tabIndex={-1}>
      <legend>{labelOf(field)}{field.optional && <span class="soft"> {t('form.optional')}</span>}</legend>
      <FieldControls {...props} fields={field.members ?? []} form={entry} above={`${path}.`} />
    </fieldset>
  );
}

export function FieldControls({ fields, form, set, faulty, locked, above = '' }: {
  fields: Field[]; form: Entry & { kind: 'object' }; set(entry: Entry & { kind: 'object' }): void; faulty: ReadonlySet<string>; locked?: ReadonlySet<string>; above?: string;
}): JSX.Element {
  return (
    <div class="fields">
      {fields.map((field) => (
        <FieldControl key={field.name} field={field} path={above + field.name} entry={form.members[field.name] ?? emptyEntry(field)} faulty={faulty} {...(locked ? { locked } : {})}
          set={(e) => set({ kind: 'object', members: { ...form.members, [field.name]: e } })} />
      ))}
    </div>
  );
}
