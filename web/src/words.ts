/// All wording comes from one catalogue; the pages take their section of it, and the stations
/// add theirs when they are loaded. Only these sections get into what browsers load.
import { pages } from '../../words/en.json';

export type Key = keyof typeof pages | keyof (typeof import('../../words/en.json'))['stations'];
export type Slots = Record<string, string | number>;

/// Puts values into {slots}; a slot without a value stays visible, so that it is noticed.
export function fill(text: string, slots: Slots = {}): string {
  return text.replace(/\{(\w+)\}/g, (whole, name: string) => String(slots[name] ?? whole));
}

const en = new Map<string, string>(Object.entries(pages));
export const addWords = (section: Record<string, string>): void => Object.entries(section).forEach(([key, text]) => en.set(key, text));

export const t = (key: Key, slots?: Slots): string => fill(en.get(key) ?? key, slots);

/// Words of a key made at run time, or the text itself when the catalogue has none.
export function known(key: string, otherwise: string): string {
  return en.get(key) ?? otherwise;
}

/// "plate_lot" reads "Plate lot" until the catalogue or the service says it better.
export function fromName(name: string): string {
  const words = name.replace(/[_.]/g, ' ').trim();
  return words.charAt(0).toUpperCase() + words.slice(1);
}

export interface Span { text: string; strong: boolean }

/// Sentences of the service set off their first words with `**…**`.
export function spans(sentence: string): Span[] {
  return sentence.split('**').map((text, i) => ({ text, strong: i % 2 === 1 })).filter((s) => s.text !== '');
}

/// How people write the units that facts name by their codes.
const signs = new Map<string, string>();
export const knowSigns = (more: Record<string, string>): void => Object.entries(more).forEach(([code, sign]) => signs.set(code, sign));

/// A member of a fact in words: a measure with its unit; null for what is made of members.
export const measured = (v: unknown): string | null => {
  if (v === null || v === undefined) return '';
  if (typeof v === 'boolean') return v ? t('form.yes') : t('form.no');
  if (typeof v !== 'object') return String(v);
  const { value, unit } = v as { value?: unknown; unit?: unknown };
  return value === undefined ? null : `${String(value)}${unit === undefined || unit === '1' ? '' : ` ${signs.get(String(unit)) ?? String(unit)}`}`;
};
