import { test } from 'node:test';
import assert from 'node:assert/strict';
import type { Method } from '../src/api.ts';
import { emptyReading, readable, recorded, sent, stillAsked, withChoice, withLine, withNumber } from '../src/reading.ts';

const input = { symbol: '', words: '', optional: false, list: false, kind: 'number' as const };
const shear: Method = {
  id: 'bench.shear', version: 1, title: '', words: '', formula: '', source: '', source_mark: '', validity: '', outputs: [],
  inputs: [
    { ...input, name: 'force', unit: 'kN' },
    { ...input, name: 'area', unit: 'cm2', optional: true },
    { ...input, name: 'readings', unit: 'um', list: true, least: 2 },
    { ...input, name: 'surface', kind: 'choice', choices: ['cold', 'hot'] },
  ],
};

test('what is still asked is named by path, optional inputs are not', () => {
  let r = emptyReading(shear);
  assert.deepEqual(stillAsked(shear, r), ['numbers.force[0]', 'numbers.readings[0]', 'choices.surface']);
  r = withNumber(withNumber(r, 'force', 0, '27,4'), 'readings', 0, '12');
  assert.deepEqual(stillAsked(shear, r), ['numbers.readings[1]', 'choices.surface']);
  r = withChoice(withNumber(r, 'readings', 1, '13'), 'surface', 'cold');
  assert.deepEqual(stillAsked(shear, r), []);
});

test('texts go out as typed, with the unit of their field where none was typed', () => {
  let r = withNumber(emptyReading(shear), 'force', 0, '27400 N');
  r = withNumber(withNumber(withLine(r, 'readings'), 'readings', 0, '12'), 'readings', 2, '0,013 mm');
  assert.deepEqual(sent(shear, r), { numbers: { force: ['27400 N'], readings: ['12 um', '0,013 mm'] }, choices: {} });
});

test('a plain number goes on record with the unit one', () => {
  const friction: Method = { ...shear, inputs: [{ ...input, name: 'normal', unit: '1' }, { ...input, name: 'force', unit: 'kN' }] };
  const r = withNumber(withNumber(emptyReading(friction), 'normal', 0, '0,41'), 'force', 0, '27,4');
  assert.deepEqual(recorded(friction, r).numbers, { normal: [{ value: '0,41', unit: '1' }], force: ['27,4 kN'] });
});

test('nothing is computed from a text that is no number', () => {
  const r = withNumber(emptyReading(shear), 'force', 0, '27,4');
  assert.ok(readable(r));
  assert.ok(!readable(withNumber(r, 'force', 0, '27,4,1')));
  assert.ok(!readable(withNumber(r, 'force', 0, '1,234')));
});
