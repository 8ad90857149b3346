/// The state of a form made from fields: a tree of typed texts, kept as typed until
/// they are sent, so that a refused form loses nothing.
import type { Field, Input } from './api.ts';
import { readTyped } from './typed.ts';

export type Entry =
  /// `plain`: a number on record whose unit is one.
  | { kind: 'text'; text: string; plain?: boolean }
  | { kind: 'flag'; on: boolean }
  | { kind: 'object'; members: Record<string, Entry> }
  | { kind: 'list'; items: Entry[] }
  | { kind: 'map'; items: { name: string; entry: Entry }[] };

const hasMembers = (field: Field): boolean => (field.members?.length ?? 0) > 0;

/// One item of a list or of named values, as a field of its own.
export function itemField(field: Field): Field {
  const type = hasMembers(field) ? 'object' : field.item ?? (field.words?.length ? 'word' : 'text');
  const { item: _, ...rest } = field;
  return { ...rest, type, optional: false };
}

export function emptyEntry(field: Field): Entry {
  if (field.type === 'list') return { kind: 'list', items: field.optional ? [] : [emptyEntry(itemField(field))] };
  if (field.type === 'named values') return { kind: 'map', items: [] };
  if (field.type === 'yes/no') return { kind: 'flag', on: false };
  if (field.type === 'object' && hasMembers(field)) return emptyForm(field.members ?? []);
  return { kind: 'text', text: '' };
}

export function emptyForm(fields: Field[]): Entry & { kind: 'object' } {
  return { kind: 'object', members: Object.fromEntries(fields.map((f) => [f.name, emptyEntry(f)])) };
}

/// A measure on record is {value, unit}; a person reads and types it as one text.
function asTyped(value: unknown): string {
  if (value === null || value === undefined) return '';
  if (typeof value !== 'object') return String(value);
  const { value: number, unit } = value as { value?: unknown; unit?: unknown };
  if (number === undefined) return JSON.stringify(value, null, 1);
  return unit === undefined || unit === '1' ? String(number) : `${String(number)} ${String(unit)}`;
}

/// The form of something on record, for the next issue or a correction.
export function entryFrom(field: Field, value: unknown): Entry {
  if (value === undefined || value === null) return emptyEntry(field);
  if (field.type === 'list' && Array.isArray(value)) {
    return { kind: 'list', items: value.map((v) => entryFrom(itemField(field), v)) };
  }
  if (field.type === 'named values' && typeof value === 'object') {
    const items = Object.entries(value).map(([name, v]) => ({ name, entry: entryFrom(itemField(field), v) }));
    return { kind: 'map', items };
  }
  if (field.type === 'yes/no') return { kind: 'flag', on: value === true || value === 'yes' || value === 'true' };
  if (field.type === 'object' && hasMembers(field) && typeof value === 'object') return formFrom(field.members ?? [], value as Input);
  return { kind: 'text', text: asTyped(value), ...(isPlain(value) ? { plain: true } : {}) };
}

const isPlain = (value: unknown): boolean => typeof value === 'object' && (value as { unit?: unknown }).unit === '1';

export function formFrom(fields: Field[], value: Input): Entry & { kind: 'object' } {
  return { kind: 'object', members: Object.fromEntries(fields.map((f) => [f.name, entryFrom(f, value[f.name])])) };
}

/// "clamps[0].batch" → ["clamps", 0, "batch"]
export function pathParts(path: string): (string | number)[] {
  return [...path.matchAll(/\[(\d+)\]|([^.[\]]+)/g)].map((m) => (m[1] !== undefined ? Number(m[1]) : m[2] ?? ''));
}

/// Paths of a prefill, gathered into the object they describe.
export function nested(prefill: Record<string, string>): Input {
  const out: Input = {};
  for (const [path, text] of Object.entries(prefill)) put(out, pathParts(path), text);
  return out;
}

function put(into: Input | unknown[], [first, ...rest]: (string | number)[], text: string): void {
  if (first === undefined) return;
  const holder = into as Record<string | number, unknown>;
  if (rest.length === 0) holder[first] = text;
  else {
    holder[first] ??= typeof rest[0] === 'number' ? [] : {};
    put(holder[first] as Input, rest, text);
  }
}

/// Nothing was typed here.
function untouched(entry: Entry): boolean {
  switch (entry.kind) {
    case 'text': return entry.text.trim() === '';
    case 'flag': return !entry.on;
    case 'object': return Object.values(entry.members).every(untouched);
    case 'list': return entry.items.every(untouched);
    case 'map': return entry.items.length === 0;
  }
}

function fromText(field: Field, text: string): unknown {
  const typed = text.trim();
  if (field.type === 'whole number' && /^[+-]?\d+$/.test(typed)) return Number(typed);
  if (field.type === 'object') return parsed(typed);
  return typed;
}

/// Free members are JSON; what is not is sent as it is, and the service says where it fails.
function parsed(typed: string): unknown {
  try {
    return JSON.parse(typed);
  } catch {
    return typed;
  }
}

/// A number and nothing behind it.
function bare(text: string): boolean {
  const read = readTyped(text);
  return read.kind === 'number' && read.unit === '';
}

function inputOf(field: Field, entry: Entry): unknown {
  switch (entry.kind) {
    case 'text': return entry.plain && bare(entry.text) ? { value: entry.text.trim(), unit: '1' } : fromText(field, entry.text);
    case 'flag': return entry.on;
    case 'object': return toInput(field.members ?? [], entry);
    case 'list': return entry.items.filter((i) => !untouched(i)).map((i) => inputOf(itemField(field), i));
    case 'map': return Object.fromEntries(entry.items.filter((i) => i.name.trim() !== '').map((i) => [i.name.trim(), inputOf(itemField(field), i.entry)]));
  }
}

/// What is sent: optional members that hold nothing are left out.
export function toInput(fields: Field[], form: Entry & { kind: 'object' }): Input {
  const out: Input = {};
  for (const field of fields) {
    const entry = form.members[field.name];
    if (entry && !(field.optional && untouched(entry))) out[field.name] = inputOf(field, entry);
  }
  return out;
}

/// Required members that hold nothing, by path: said before anything is sent.
export function emptyPaths(fields: Field[], form: Entry & { kind: 'object' }, above = ''): string[] {
  return fields.flatMap((field) => {
    const entry = form.members[field.name];
    const path = above + field.name;
    if (!entry || (field.optional && untouched(entry))) return [];
    if (entry.kind === 'object') return emptyPaths(field.members ?? [], entry, `${path}.`);
    if (entry.kind === 'list') return emptyItems(field, entry.items, path);
    return entry.kind === 'text' && untouched(entry) ? [path] : [];
  });
}

function emptyItems(field: Field, items: Entry[], path: string): string[] {
  if (!field.optional && items.every(untouched)) return [`${path}[0]`];
  return items.flatMap((item, i) =>
    item.kind === 'object' && !untouched(item) ? emptyPaths(field.members ?? [], item, `${path}[${i}].`) : []);
}

/// The identifier of the control for a member; errors link to it.
export const controlId = (path: string): string => `f-${path.replace(/[^A-Za-z0-9]+/g, '-').replace(/-$/, '')}`;
