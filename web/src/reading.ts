/// What a technician has typed for one result, and what goes out of it.
import type { Method } from './api.ts';
import { readTyped, withUnit } from './typed.ts';

export interface Reading { numbers: Record<string, string[]>; choices: Record<string, string> }

export function emptyReading(method: Method): Reading {
  const numbers = method.inputs.filter((i) => i.kind === 'number').map((i) => [i.name, Array.from({ length: i.list ? Math.max(i.least ?? 1, 1) : 1 }, () => '')] as const);
  return { numbers: Object.fromEntries(numbers), choices: Object.fromEntries(method.inputs.filter((i) => i.kind === 'choice').map((i) => [i.name, ''])) };
}

export const withNumber = (r: Reading, name: string, at: number, text: string): Reading =>
  ({ ...r, numbers: { ...r.numbers, [name]: (r.numbers[name] ?? []).map((t, i) => (i === at ? text : t)) } });
export const withLine = (r: Reading, name: string): Reading =>
  ({ ...r, numbers: { ...r.numbers, [name]: [...(r.numbers[name] ?? []), ''] } });
export const withChoice = (r: Reading, name: string, word: string): Reading => ({ ...r, choices: { ...r.choices, [name]: word } });

/// Texts as typed, the field's unit where none was typed; what is empty stays out.
export function sent(method: Method, r: Reading): Reading {
  const numbers: Record<string, string[]> = {};
  for (const input of method.inputs.filter((i) => i.kind === 'number')) {
    const typed = (r.numbers[input.name] ?? []).filter((text) => text.trim() !== '').map((text) => withUnit(text, input.unit ?? ''));
    if (typed.length) numbers[input.name] = typed;
  }
  return { numbers, choices: Object.fromEntries(Object.entries(r.choices).filter(([, word]) => word !== '')) };
}

/// For the record, where a plain number says that its unit is one.
export function recorded(method: Method, r: Reading): { numbers: Record<string, unknown[]>; choices: Record<string, string> } {
  const { numbers, choices } = sent(method, r);
  const plain = new Set(method.inputs.filter((i) => (i.unit || '1') === '1').map((i) => i.name));
  const listed = Object.entries(numbers).map(([name, typed]) => [name, plain.has(name) ? typed.map((value) => ({ value, unit: '1' })) : typed]);
  return { numbers: Object.fromEntries(listed), choices };
}

/// Paths of what is still asked; nothing is computed before they are in.
export function stillAsked(method: Method, r: Reading): string[] {
  return method.inputs.filter((i) => !i.optional).flatMap((i) => {
    if (i.kind === 'choice') return r.choices[i.name] ? [] : [`choices.${i.name}`];
    const typed = (r.numbers[i.name] ?? []).filter((text) => text.trim() !== '').length;
    return typed >= (i.list ? Math.max(i.least ?? 1, 1) : 1) ? [] : [`numbers.${i.name}[${typed}]`];
  });
}

/// Every typed text reads as a number.
export const readable = (r: Reading): boolean =>
  Object.values(r.numbers).flat().every((text) => ['empty', 'number'].includes(readTyped(text).kind));
