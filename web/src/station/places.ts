/// The stations that ask one thing after another: what each asks and what it reports.
import type { Input } from '../api.ts';
import { t, type Key } from './words.ts';
import type { CodeHere, NeedHere, StationHere } from './net.ts';

/// What has been taken so far: the value that goes out, and the words that are shown.
export interface Taken { value: unknown; words: string; found?: CodeHere; unchecked?: boolean }
export type Given = Record<string, Taken>;

/// `code`: something on record of these kinds. `label`: a number that is not on record yet, or of
/// something that has no page. `machine`, `gauge`: chosen once, then remembered.
export interface Ask {
  key: string;
  want: 'code' | 'label' | 'text' | 'count' | 'measure' | 'measures' | 'scrap' | 'place' | 'pick' | 'clock' | 'machine' | 'gauge';
  ask: Key;
  hint?: Key;
  kinds?: string[];
  unit?: string;
  material?(given: Given): string;
  /// In place of the plain question, and of the line's name on the right.
  say?(given: Given): string;
  line?: Key;
  picks?(given: Given, here: StationHere | null): string[];
  skip?(given: Given, here: StationHere | null): boolean;
  /// Asked again when the answer of this key changes.
  of?: string;
  /// An empty Enter goes on; where the service could not be asked whether it is needed.
  optional?(given: Given): boolean;
  remembered?: boolean;
}
export interface Place {
  name: string;
  title: Key;
  waits: Key;
  caution?: Key;
  act: string | ((given: Given) => string);
  asks: Ask[];
  /// Asked again and again until an empty Enter: clamps of a load.
  rows?: Ask[];
  rows_done?: Key;
  /// How a row is counted: "Clamp {n}".
  row_nth?: Key;
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

/// Where the machines could not be asked for, the service says what is missing when it is sent.
const stationsOf = (given: Given, here: StationHere | null): string[] => here?.machines.find((m) => m.code === text(given, 'machine'))?.stations ?? [];
/// "1 2 4", "1, 2, 4"
const codesIn = (typed: unknown): string[] => String(typed ?? '').split(/[\s,;]+/).filter(Boolean);

/// The press's own times are told together or not at all.
const timed = (g: Given): boolean => value(g, 'strokes') !== undefined && value(g, 'strokes') !== null && value(g, 'strokes') !== '';
const only = (g: Given, key: string): Input => (value(g, key) ? { [key]: value(g, key) } : {});

const press: Place = {
  name: 'press', title: 'station.press.title', waits: 'station.waits', caution: 'station.caution.press', act: 'press/run',
  asks: [
    batch, machine, gauge,
    { key: 'station', want: 'pick', ask: 'station.ask.station', of: 'machine', picks: stationsOf, skip: (g, here) => stationsOf(g, here).length === 0 },
    { key: 'tool', want: 'text', ask: 'station.ask.tool', hint: 'station.hint.tool' },
    { key: 'cavities', want: 'text', ask: 'station.ask.cavities', hint: 'station.hint.cavities', optional: () => true },
    { key: 'charges', want: 'measures', unit: 'g', ask: 'station.ask.charges', hint: 'station.hint.charges' },
    { key: 'underlayer', want: 'measures', unit: 'g', ask: 'station.ask.underlayer', hint: 'station.hint.charges', skip: (g) => !unasked(g) && !found(g, 'batch')?.layers?.length, optional: unasked },
    { key: 'programme', want: 'text', ask: 'station.ask.press_programme', hint: 'station.hint.press_programme', skip: (g) => !unasked(g) && !found(g, 'batch')?.press_programme, optional: unasked },
    { key: 'strokes', want: 'count', ask: 'station.ask.strokes', hint: 'station.hint.strokes', optional: () => true },
    { key: 'started', want: 'clock', ask: 'station.ask.started', hint: 'station.hint.clock', skip: (g) => !timed(g) },
    { key: 'ended', want: 'clock', ask: 'station.ask.ended', hint: 'station.hint.clock', skip: (g) => !timed(g) },
    { key: 'press_time', want: 'measure', unit: 's', ask: 'station.ask.press_time', hint: 'station.hint.press_time', skip: (g) => !timed(g), optional: () => true },
    ...counts,
  ],
  words: (g) => [text(g, 'batch'), text(g, 'machine'), text(g, 'station'), text(g, 'good')].filter(Boolean).join(', '),
  input: (g) => ({
    batch: value(g, 'batch'), machine: value(g, 'machine'), tool: value(g, 'tool'), gauge: value(g, 'gauge'), charge_checks: value(g, 'charges'), counts: countsOf(g),
    cavities: codesIn(value(g, 'cavities')), ...(value(g, 'underlayer') ? { underlayer_checks: value(g, 'underlayer') } : {}), ...only(g, 'programme'),
    ...(timed(g) ? { strokes: value(g, 'strokes'), started: value(g, 'started'), ended: value(g, 'ended'), ...only(g, 'press_time') } : {}), ...(value(g, 'station') ? { station: value(g, 'station') } : {}),
  }),
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
  rows_done: 'station.clamp.all', row_nth: 'station.clamp.nth',
  words: (g, rows) => `${text(g, 'machine')}, ${rows.length}`,
  input: (g, rows) => ({
    oven: value(g, 'machine'),
    clamps: rows.map((r) => ({ clamp: value(r, 'clamp'), batch: value(r, 'batch'), pads: value(r, 'pads'), ...(value(r, 'place') as object) })),
  }),
};

/// At most so many materials and spots are asked for here; more go through the form of the act.
const most_materials = 4;
const most_spots = 6;
const bakeWords = (operation: string): string => t('station.bake_of', { operation });
/// The coat whose bake is entered; none: an operation is reported.
const baked = (g: Given): string | undefined => found(g, 'batch')?.bakes?.find((o) => bakeWords(o) === text(g, 'operation'));
const need = (g: Given): NeedHere | undefined => found(g, 'batch')?.needs?.find((n) => n.operation === text(g, 'operation'));
const upTo = <T>(n: number, one: (i: number) => T): T[] => Array.from({ length: n }, (_, i) => one(i));

const putOn = (i: number): Ask[] => [
  { key: `put_${i}`, want: 'code', kinds: ['lot'], ask: 'station.ask.put', line: 'station.line.put', hint: 'station.hint.lot_label', material: (g) => need(g)?.materials[i]?.material ?? '', skip: (g) => !need(g)?.materials[i] && !(i === 0 && unasked(g)), optional: unasked },
  { key: `pieces_${i}`, want: 'count', ask: 'station.ask.pieces', line: 'station.line.pieces', skip: (g) => !need(g)?.materials[i]?.counted && !(i === 0 && unasked(g) && value(g, 'put_0') !== null), optional: unasked },
];
const spot = (i: number): Ask => ({
  key: `spot_${i}`, want: 'code', kinds: ['lot'], ask: 'station.ask.spot', line: 'station.line.spot', hint: 'station.hint.lot_label',
  say: (g) => t('station.ask.spot_at', { place: need(g)?.spots[i]?.place ?? '', threshold: need(g)?.spots[i]?.threshold ?? '' }),
  material: (g) => need(g)?.spots[i]?.material ?? '', skip: (g) => !need(g)?.spots[i],
});
const ofBake: Ask[] = [
  { key: 'oven', want: 'code', kinds: ['machine'], ask: 'station.ask.bake_oven' },
  { key: 'pads', want: 'count', ask: 'station.ask.bake_pads' },
  { key: 'metal', want: 'measure', unit: 'Cel', ask: 'station.ask.metal', hint: 'station.hint.metal' },
  { key: 'time', want: 'measure', unit: 'min', ask: 'station.ask.bake_time' },
  { key: 'hottest', want: 'measure', unit: 'Cel', ask: 'station.ask.hottest' },
];

const finishInput = (g: Given): Input => ({
  batch: value(g, 'batch'), operation: value(g, 'operation'), machine: value(g, 'machine'), counts: countsOf(g),
  lots: upTo(most_materials, (i) => i).filter((i) => value(g, `put_${i}`)).map((i) => ({ lot: value(g, `put_${i}`), ...(value(g, `pieces_${i}`) ? { pieces: value(g, `pieces_${i}`) } : {}) })),
  spots: upTo(most_spots, (i) => i).filter((i) => value(g, `spot_${i}`)).map((i) => ({ place: need(g)?.spots[i]?.place, lot: value(g, `spot_${i}`) })),
  ...(value(g, 'printed') ? { printed: value(g, 'printed') } : {}),
});
const bakeInput = (g: Given): Input => ({
  batch: value(g, 'batch'), operation: baked(g), machine: value(g, 'oven'), pads: value(g, 'pads'),
  readings: [{ metal: value(g, 'metal'), time: value(g, 'time') }], hottest: value(g, 'hottest'),
});

const finishing: Place = {
  name: 'finishing', title: 'station.finishing.title', waits: 'station.waits', caution: 'station.caution.grinding', act: (g) => (baked(g) ? 'bake/enter' : 'batch/finish'),
  asks: [
    batch, machine,
    { key: 'operation', want: 'pick', ask: 'station.ask.operation', picks: (g) => [...(found(g, 'batch')?.operations ?? []), ...(found(g, 'batch')?.bakes ?? []).map(bakeWords)] },
    ...upTo(most_materials, putOn).flat(),
    { key: 'printed', want: 'text', ask: 'station.ask.printed', hint: 'station.hint.printed', picks: (g) => [need(g)?.print ?? ''].filter(Boolean), skip: (g) => !need(g)?.print },
    ...upTo(most_spots, spot),
    ...ofBake.map((a) => ({ ...a, skip: (g: Given) => !baked(g) })),
    ...counts.map((a) => ({ ...a, skip: (g: Given) => baked(g) !== undefined })),
  ],
  words: (g) => [text(g, 'batch'), text(g, 'operation'), text(g, baked(g) ? 'time' : 'good')].join(', '),
  input: (g) => (baked(g) ? bakeInput(g) : finishInput(g)),
};

const packing: Place = {
  name: 'packing', title: 'station.packing.title', waits: 'station.waits', caution: 'station.caution.lifting', act: 'box/pack',
  asks: [batch, { key: 'pads', want: 'count', ask: 'station.ask.pads_box' }, { key: 'sets', want: 'count', ask: 'station.ask.sets' }],
  words: (g) => `${text(g, 'batch')}, ${text(g, 'pads')}`,
  input: (g) => ({ batch: value(g, 'batch'), pads: value(g, 'pads'), sets: value(g, 'sets') }),
};

const unclamp: Place = {
  name: 'unclamp', title: 'station.unclamp.title', waits: 'station.waits', caution: 'station.caution.oven', act: 'load/unclamp',
  asks: [
    { key: 'load', want: 'code', kinds: ['load'], ask: 'station.ask.load', hint: 'station.hint.load' },
    { key: 'batch', want: 'pick', ask: 'station.ask.batch_out', of: 'load', picks: (g) => found(g, 'load')?.batches ?? [] },
    ...counts,
  ],
  words: (g) => [text(g, 'load'), text(g, 'batch'), text(g, 'good')].join(', '),
  input: (g) => ({ load: value(g, 'load'), batch: value(g, 'batch'), counts: countsOf(g) }),
};

/// A carton's number is its SSCC; without network the kind of what was scanned is told by that.
const isCarton = (row: Given): boolean => (found(row, 'packed')?.kind ?? (/^\d{18,20}$/.test(text(row, 'packed')) ? 'carton' : 'box')) === 'carton';
const packedOf = (rows: Given[], cartons: boolean): unknown[] => rows.filter((r) => isCarton(r) === cartons).map((r) => value(r, 'packed'));

const ship: Place = {
  name: 'ship', title: 'station.ship.title', waits: 'station.waits', caution: 'station.caution.lifting', act: 'shipment/send',
  asks: [
    { key: 'customer', want: 'text', ask: 'station.ask.customer' },
    { key: 'order', want: 'text', ask: 'station.ask.order' },
  ],
  rows: [{ key: 'packed', want: 'code', kinds: ['box', 'carton'], ask: 'station.ask.packed', hint: 'station.hint.packed' }],
  rows_done: 'station.ship.all', row_nth: 'station.ship.nth',
  words: (g, rows) => [text(g, 'customer'), text(g, 'order'), rows.length].join(', '),
  input: (g, rows) => ({ customer: value(g, 'customer'), order: value(g, 'order'), boxes: packedOf(rows, false), cartons: packedOf(rows, true) }),
};

export const places: Place[] = [goods_in, plates, press, clamp, unclamp, finishing, packing, ship];
