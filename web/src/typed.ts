/// Numbers as people type them: what was understood is said back at once, before
/// anything is sent. The service reads the same text again and decides.

export type Typed =
  | { kind: 'empty' }
  | { kind: 'number'; value: string; unit: string; text: string }
  | { kind: 'ambiguous'; thousand: string; fraction: string }
  | { kind: 'unreadable' };

const longest = 40;
const spaces = /[\s\u00a0\u202f\u2009]/g;

/// The number ends before the first sign that can only belong to a unit.
function split(typed: string): [string, string] {
  const end = typed.search(/[^\d.,+\-\u2212\s\u00a0\u202f\u2009]/);
  if (!/\d/.test(typed)) return ['', typed];
  return end < 0 ? [typed, ''] : [typed.slice(0, end), typed.slice(end)];
}

/// A thousand grouped by a comma and a fraction look alike: "1,234".
function mayBeThousand(mark: string, whole: string, fraction: string): boolean {
  return mark === ',' && fraction.length === 3 && /^[1-9]\d{0,2}$/.test(whole);
}

export function readTyped(typed: string, unit_if_bare = ''): Typed {
  if (typed.trim() === '') return { kind: 'empty' };
  const [number, unit_typed] = split(typed);
  const text = number.replace(spaces, '').replace(/\u2212/g, '-');
  const parts = /^([+-]?)(\d*)(?:([.,])(\d*))?$/.exec(text);
  if (!parts || text.length > longest) return { kind: 'unreadable' };
  const [, sign = '', whole = '', mark = '', fraction = ''] = parts;
  if (whole === '' && fraction === '') return { kind: 'unreadable' };
  if (mayBeThousand(mark, whole, fraction)) return { kind: 'ambiguous', thousand: whole + fraction, fraction: `${whole}.${fraction}` };
  const value = (sign === '-' ? '-' : '') + (whole || '0') + (fraction ? `.${fraction}` : '');
  const unit = unit_typed.trim() || unit_if_bare;
  return { kind: 'number', value, unit, text: unit ? `${value}\u00a0${unit}` : value };
}

/// What is sent: the text as typed, with the field's unit where none was typed.
export function withUnit(typed: string, unit_if_bare: string): string {
  const read = readTyped(typed);
  if (read.kind !== 'number' || read.unit !== '' || unit_if_bare === '' || unit_if_bare === '1') return typed.trim();
  return `${typed.trim()} ${unit_if_bare}`;
}
