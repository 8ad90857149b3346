/// The stations that ask one thing after another: what each asks and what it reports.
import type { Input } from '../api.ts';
import type { Key } from '../words.ts';
import type { CodeHere } from './net.ts';

/// What has been taken so far: the value that goes out, and the words that are shown.
export interface Taken { value: unknown; words: string; found?: CodeHere; unchecked?: boolean }
export type Given = Record<string, Taken>;

/// `code`: something on record of these kinds. `label`: a number that is not on record yet, or of
/// something that has no page. `machine`, `gauge`: chosen once, then remembered.
export interface Ask {
  key: string;
  want: 'code' | 'label' | 'text' | 'count' | 'measure' | 'measures' | 'scrap' | 'place' | 'pick' | 'machine' | 'gauge';
  ask: Key;
  hint?: Key;
  kinds?: string[];
  unit?: string;
  material?(given: Given): string;
  picks?(given: Given): string[];
  skip?(given: Given): boolean;
  /// An empty Enter goes on; where the service could not be asked whether it is needed.
  optional?(given: Given): boolean;
  remembered?: boolean;
}
export interface Place {
  name: string;
  title: Key;
  waits: Key;
  caution?: Key;
  act: string;
  asks: Ask[];
  /// Asked again and again until an empty Enter: clamps of a load.
  rows?: Ask[];
  rows_done?: Key;
  after?: Ask[];
  words(given: Given, rows: Given[]): string;
  input(given: Given, rows: Given[]): Input;
}

const value = (given: Given, key: string): unknown => given[key]?.value;
const text = (given: Given, key: string): string => String(value(given, key) ?? '');
const found = (given: Given, key: string): CodeHere | undefined => given[key]?.found;
const unasked = (given: Given): boolean => given.batch?.unchecked === true;
const counts: Ask[] = [
  { key: 'good', want: 'count', ask: 'station.ask.good', hint: 'station.hint.good' },
  { key: 'scrap', want: 'scrap', ask: 'station.ask.scrap', hint: 'station.hint.scrap' },
];
const countsOf = (given: Given): Input => ({ good: value(given, 'good'), scrap: value(given, 'scrap') ?? {} });
const batch: Ask = { key: 'batch', want: 'code', kinds: ['batch'], ask: 'station.ask.batch', hint: 'station.hint.batch' };
const machine: Ask = { key: 'machine', want: 'machine', ask: 'station.choose.machine', remembered: true };
const gauge: Ask = { key: 'gauge', want: 'gauge', ask: 'station.choose.gauge', remembered: true };

const goods_in: Place = {
  name: 'goods-in', title: 'station.goods.title', waits: 'station.goods.waits', caution: 'station.caution.dust', act: 'lot/receive',
  asks: [
    { key: 'lot', want: 'label', kinds: ['lot'], ask: 'station.ask.lot', hint: 'station.hint.lot' },
    { key: 'material', want: 'pick', ask: 'station.ask.material' },
    { key: 'supplier', want: 'text', ask: 'station.ask.supplier' },
    { key: 'supplier_lot', want: 'text', ask: 'station.ask.supplier_lot', hint: 'station.hint.supplier_lot' },
    { key: 'quantity', want: 'measure', unit: 'kg', ask: 'station.ask.quantity', hint: 'station.hint.quantity' },
  ],
  words: (g) => `${text(g, 'lot')}, ${text(g, 'material')}, ${text(g, 'quantity')}`,
  input: (g) => Object.fromEntries(['lot', 'material', 'supplier', 'supplier_lot', 'quantity'].map((k) => [k, value(g, k)])),
};

const plates: Place = {
  name: 'plates', title: 'station.plates.title', waits: 'station.waits', caution: 'station.caution.solvent', act: 'plates/prepare',
  asks: [
    batch, machine, gauge,
    { key: 'plate_lot', want: 'code', kinds: ['lot'], ask: 'station.ask.plate_lot', hint: 'station.hint.lot_label', material: (g) => found(g, 'batch')?.plate ?? '' },
    { key: 'adhesive_lot', want: 'code', kinds: ['lot'], ask: 'station.ask.adhesive_lot', hint: 'station.hint.lot_label', material: (g) => found(g, 'batch')?.adhesive ?? '', skip: (g) => found(g, 'batch')?.adhesive === '', optional: unasked },
    { key: 'film', want: 'measures', unit: 'um', ask: 'station.ask.film', hint: 'station.hint.film', skip: (g) => found(g, 'batch')?.adhesive === '', optional: unasked },
    ...counts,
  ],
  words: (g) => `${text(g, 'batch')}, ${text(g, 'plate_lot')}, ${text(g, 'good')}`,
  input: (g) => ({
    batch: value(g, 'batch'), plate_lot: value(g, 'plate_lot'), machine: value(g, 'machine'), film: value(g, 'film') ?? [], counts: countsOf(g),
    ...(value(g, 'adhesive_lot') ? { adhesive_lot: value(g, 'adhesive_lot') } : {}), ...(value(g, 'film') ? { gauge: value(g, 'gauge') } : {}),
  }),
};

const press: Place = {
  name: 'press', title: 'station.press.title', waits: 'station.waits', caution: 'station.caution.press', act: 'press/run',
  asks: [
    batch, machine, gauge,
    { key: 'tool', want: 'text', ask: 'station.ask.tool', hint: 'station.hint.tool' },
    { key: 'charges', want: 'measures', unit: 'g', ask: 'station.ask.charges', hint: 'station.hint.charges' },
    ...counts,
  ],
  words: (g) => `${text(g, 'batch')}, ${text(g, 'machine')}, ${text(g, 'good')}`,
  input: (g) => ({ batch: value(g, 'batch'), machine: value(g, 'machine'), tool: value(g, 'tool'), gauge: value(g, 'gauge'), charge_checks: value(g, 'charges'), counts: countsOf(g) }),
};

const clamp: Place = {
  name: 'clamp', title: 'station.clamp.title', waits: 'station.waits', caution: 'station.caution.oven', act: 'load/build',
  asks: [{ key: 'machine', want: 'machine', ask: 'station.choose.oven', remembered: true }],
  rows: [
    { key: 'clamp', want: 'label', ask: 'station.ask.clamp', hint: 'station.hint.clamp' },
    { ...batch, hint: 'station.hint.batch_clamp' },
    { key: 'pads', want: 'count', ask: 'station.ask.pads_clamp' },
    { key: 'place', want: 'place', ask: 'station.ask.place', hint: 'station.hint.place' },
  ],
  rows_done: 'station.clamp.all',
  words: (g, rows) => `${text(g, 'machine')}, ${rows.length}`,
  input: (g, rows) => ({
    oven: value(g, 'machine'),
    clamps: rows.map((r) => ({ clamp: value(r, 'clamp'), batch: value(r, 'batch'), pads: value(r, 'pads'), ...(value(r, 'place') as object) })),
  }),
};

const finishing: Place = {
  name: 'finishing', title: 'station.finishing.title', waits: 'station.waits', caution: 'station.caution.grinding', act: 'batch/finish',
  asks: [batch, machine, { key: 'operation', want: 'pick', ask: 'station.ask.operation', picks: (g) => found(g, 'batch')?.operations ?? [] }, ...counts],
  words: (g) => `${text(g, 'batch')}, ${text(g, 'operation')}, ${text(g, 'good')}`,
  input: (g) => ({ batch: value(g, 'batch'), operation: value(g, 'operation'), machine: value(g, 'machine'), counts: countsOf(g) }),
};

const packing: Place = {
  name: 'packing', title: 'station.packing.title', waits: 'station.waits', caution: 'station.caution.lifting', act: 'box/pack',
  asks: [batch, { key: 'pads', want: 'count', ask: 'station.ask.pads_box' }, { key: 'sets', want: 'count', ask: 'station.ask.sets' }],
  words: (g) => `${text(g, 'batch')}, ${text(g, 'pads')}`,
  input: (g) => ({ batch: value(g, 'batch'), pads: value(g, 'pads'), sets: value(g, 'sets') }),
};

export const places: Place[] = [goods_in, plates, press, clamp, finishing, packing];
