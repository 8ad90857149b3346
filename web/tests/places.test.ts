/// What the finishing station asks, by what the part asks of the operation.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { places, type Given, type Place, type Taken } from '../src/station/places.ts';
import type { CodeHere, StationHere } from '../src/station/net.ts';

const finishing = places.find((p) => p.name === 'finishing') as Place;
const batch: CodeHere = {
  kind: 'batch', id: 'K7M4J-7', words: 'batch of MF-1, 38 pieces', missing: [], operations: ['grind', 'clip', 'print', 'spot'], bakes: ['coat'],
  needs: [
    { operation: 'clip', materials: [{ material: 'clip-4', counted: true }], print: '', spots: [] },
    { operation: 'print', materials: [{ material: 'ink-1', counted: false }], print: 'MF-1 K7M4J-7', spots: [] },
    { operation: 'spot', materials: [], print: '', spots: [{ place: 'left edge', threshold: '430 °C', material: 'paint-430' }] },
  ],
};
const taken = (value: unknown): Taken => ({ value, words: String(value) });

/// Answers every question as it comes; the keys in the order they were asked.
function answered(operation: string, answers: Record<string, unknown>, found: CodeHere | null = batch): { keys: string[]; given: Given } {
  const given: Given = { batch: found ? { ...taken('K7M4J-7'), found } : { ...taken('K7M4J-7'), unchecked: true }, machine: taken('line-3'), operation: taken(operation) };
  const keys: string[] = [];
  for (;;) {
    const next = finishing.asks.find((a) => !(a.key in given) && !a.skip?.(given, null));
    if (!next) return { keys, given };
    keys.push(next.key);
    given[next.key] = taken(answers[next.key] ?? null);
  }
}
const act = (given: Given): string => (typeof finishing.act === 'string' ? finishing.act : finishing.act(given));

test('an operation that puts nothing on asks for counts alone', () => {
  const { keys, given } = answered('grind', { good: 38, scrap: {} });
  assert.deepEqual(keys, ['good', 'scrap']);
  assert.equal(act(given), 'batch/finish');
  assert.deepEqual(finishing.input(given, []), { batch: 'K7M4J-7', operation: 'grind', machine: 'line-3', counts: { good: 38, scrap: {} }, lots: [], spots: [] });
});
test('clips are scanned and counted', () => {
  const { keys, given } = answered('clip', { put_0: 'C-1', pieces_0: 76, good: 38, scrap: {} });
  assert.deepEqual(keys, ['put_0', 'pieces_0', 'good', 'scrap']);
  assert.equal(finishing.asks.find((a) => a.key === 'put_0')?.material?.(given), 'clip-4');
  assert.deepEqual((finishing.input(given, []) as { lots: unknown }).lots, [{ lot: 'C-1', pieces: 76 }]);
});
test('a print is read off the pad, and its ink is scanned without a count', () => {
  const { keys, given } = answered('print', { put_0: 'K-1', printed: 'MF-1 K7M4J-7', good: 38 });
  assert.deepEqual(keys, ['put_0', 'printed', 'good', 'scrap']);
  assert.deepEqual(finishing.asks.find((a) => a.key === 'printed')?.picks?.(given), ['MF-1 K7M4J-7']);
  assert.equal((finishing.input(given, []) as { printed: unknown }).printed, 'MF-1 K7M4J-7');
});
test('each paint spot names its place', () => {
  const { keys, given } = answered('spot', { spot_0: 'T-430', good: 38 });
  assert.deepEqual(keys, ['spot_0', 'good', 'scrap']);
  assert.match(finishing.asks.find((a) => a.key === 'spot_0')?.say?.(given) ?? '', /left edge.*430/);
  assert.deepEqual((finishing.input(given, []) as { spots: unknown }).spots, [{ place: 'left edge', lot: 'T-430' }]);
});
test('a bake is another act with questions of its own', () => {
  const { keys, given } = answered('bake of coat', { oven: 'O-1', pads: 38, metal: '200 Cel', time: '11 min', hottest: '207 Cel' });
  assert.deepEqual(keys, ['oven', 'pads', 'metal', 'time', 'hottest']);
  assert.equal(act(given), 'bake/enter');
  assert.deepEqual(finishing.input(given, []), { batch: 'K7M4J-7', operation: 'coat', machine: 'O-1', pads: 38, readings: [{ metal: '200 Cel', time: '11 min' }], hottest: '207 Cel' });
});
test('without network one lot may be scanned or left out', () => {
  const { keys, given } = answered('clip', { put_0: 'C-1', pieces_0: 76, good: 38 }, null);
  assert.deepEqual(keys, ['put_0', 'pieces_0', 'good', 'scrap']);
  assert.equal(finishing.asks.find((a) => a.key === 'put_0')?.optional?.(given), true);
  assert.deepEqual((finishing.input(given, []) as { lots: unknown }).lots, [{ lot: 'C-1', pieces: 76 }]);
  assert.deepEqual(answered('grind', { good: 38 }, null).keys, ['put_0', 'good', 'scrap']);
});

const press = places.find((p) => p.name === 'press') as Place;
const presses: StationHere = {
  place: 'press', now: '2026-11-25T06:41:00Z', as_of: '07:41', waiting: [], gauges: [], materials: [],
  machines: [{ code: 'press-4', name: 'Press 4', stations: [] }, { code: 'press-7', name: 'Press 7', stations: ['A', 'B'] }],
};
function pressed(machine: string, answers: Record<string, unknown>, here: StationHere | null = presses): { keys: string[]; given: Given } {
  const given: Given = { batch: taken('K7M4J-7'), machine: taken(machine), gauge: taken('SC-7') };
  const keys: string[] = [];
  for (;;) {
    const next = press.asks.find((a) => !(a.key in given) && !a.skip?.(given, here));
    if (!next) return { keys, given };
    keys.push(next.key);
    given[next.key] = taken(answers[next.key] ?? null);
  }
}

test('a press without stations asks for no station, and cavities may be left out', () => {
  const { keys, given } = pressed('press-4', { tool: 'T-1', charges: ['147 g'], good: 40, scrap: {} });
  assert.deepEqual(keys, ['tool', 'cavities', 'charges', 'strokes', 'good', 'scrap']);
  assert.equal(press.asks.find((a) => a.key === 'cavities')?.optional?.(given), true);
  assert.deepEqual(press.input(given, []), { batch: 'K7M4J-7', machine: 'press-4', tool: 'T-1', gauge: 'SC-7', charge_checks: ['147 g'], counts: { good: 40, scrap: {} }, cavities: [] });
});
test('a press with stations asks for one of them', () => {
  const { keys, given } = pressed('press-7', { station: 'B', tool: 'T-1', cavities: '1, 2  4', charges: ['147 g'], good: 40, scrap: {} });
  assert.deepEqual(keys, ['station', 'tool', 'cavities', 'charges', 'strokes', 'good', 'scrap']);
  assert.deepEqual(press.asks.find((a) => a.key === 'station')?.picks?.(given, presses), ['A', 'B']);
  const input = press.input(given, []);
  assert.equal(input['station'], 'B');
  assert.deepEqual(input['cavities'], ['1', '2', '4']);
  assert.equal(press.words(given, []), 'K7M4J-7, press-7, B, 40');
});
test('with the strokes come start and end; the time of one stroke may be left out', () => {
  const { keys, given } = pressed('press-4', { tool: 'T-1', charges: ['147 g'], strokes: 20, started: '2026-11-25T08:40:00Z', ended: '2026-11-25T08:50:00Z', good: 40, scrap: {} });
  assert.deepEqual(keys, ['tool', 'cavities', 'charges', 'strokes', 'started', 'ended', 'press_time', 'good', 'scrap']);
  const input = press.input(given, []);
  assert.deepEqual([input['strokes'], input['started'], input['ended'], 'press_time' in input], [20, '2026-11-25T08:40:00Z', '2026-11-25T08:50:00Z', false]);
});
test('a batch with an underlayer has its charges weighed too, and a route’s press programme is asked', () => {
  const found = { kind: 'batch', id: 'K7M4J-7', words: '', missing: [], layers: ['heron-3', 'siskin-2'], press_programme: 'PP-12' };
  const given: Given = { batch: { ...taken('K7M4J-7'), found }, machine: taken('press-4'), tool: taken('T-1'), cavities: taken(null), charges: taken(['147 g']) };
  const asks = press.asks.filter((a) => !(a.key in given) && !a.skip?.(given, presses)).map((a) => a.key);
  assert.deepEqual(asks, ['gauge', 'underlayer', 'programme', 'strokes', 'good', 'scrap']);
  const input = press.input({ ...given, underlayer: taken(['22 g']), programme: taken('PP-12') }, []);
  assert.deepEqual([input['underlayer_checks'], input['programme']], [['22 g'], 'PP-12']);
});
test('without the list of machines no station is asked for', () => {
  assert.equal(pressed('press-7', {}, null).keys.includes('station'), false);
});

test('dispatch tells cartons from boxes, by what was found and without network by the number', () => {
  const ship = places.find((p) => p.name === 'ship') as Place;
  const scanned = (id: string, kind?: string): Given => ({ packed: { value: id, words: id, ...(kind ? { found: { kind, id, words: '', missing: [] } } : { unchecked: true }) } });
  const rows = [scanned('X-0007', 'box'), scanned('095212340000000017', 'carton'), scanned('X-0009'), scanned('095212340000000024')];
  const input = ship.input({ customer: taken('Fenwold Fleet'), order: taken('5401') }, rows);
  assert.deepEqual(input, { customer: 'Fenwold Fleet', order: '5401', boxes: ['X-0007', 'X-0009'], cartons: ['095212340000000017', '095212340000000024'] });
});
test('out of the oven: the batch is one of those that are in the load still', () => {
  const unclamp = places.find((p) => p.name === 'unclamp') as Place;
  const given: Given = { load: { value: 'N-0412', words: 'N-0412', found: { kind: 'load', id: 'N-0412', words: '', missing: [], batches: ['K7M4J-7'] } } };
  assert.deepEqual(unclamp.asks.find((a) => a.key === 'batch')?.picks?.(given, null), ['K7M4J-7']);
  assert.deepEqual(unclamp.input({ ...given, batch: taken('K7M4J-7'), good: taken(40), scrap: taken({ chipped: 1 }) }, []), { load: 'N-0412', batch: 'K7M4J-7', counts: { good: 40, scrap: { chipped: 1 } } });
});
