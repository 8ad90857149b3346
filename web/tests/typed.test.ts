import { test } from 'node:test';
import assert from 'node:assert/strict';
import { readTyped, withUnit } from '../src/typed.ts';

const rows: [string, string, string][] = [
  // typed, number, unit
  ['27,4 kN', '27.4', 'kN'],
  ['27.4kN', '27.4', 'kN'],
  ['2.180', '2.180', ''],
  ['27 400 N', '27400', 'N'],
  ['27\u202f400 N', '27400', 'N'],
  ['−3,5 °C', '-3.5', '°C'],
  ['+12', '12', ''],
  ['.5 g', '0.5', 'g'],
  ['0,125 mm', '0.125', 'mm'],
  ['580.5 N/cm2', '580.5', 'N/cm2'],
  ['158 µm', '158', 'µm'],
  ['1234,567 g', '1234.567', 'g'],
  ['4,2 %', '4.2', '%'],
];
for (const [typed, value, unit] of rows) {
  test(`'${typed}' is ${value} ${unit}`, () => {
    const read = readTyped(typed);
    assert.equal(read.kind, 'number');
    assert.ok(read.kind === 'number' && read.value === value && read.unit === unit, JSON.stringify(read));
  });
}

test('a comma before three digits may be a thousand or a fraction', () => {
  assert.deepEqual(readTyped('1,234 g'), { kind: 'ambiguous', thousand: '1234', fraction: '1.234' });
  assert.equal(readTyped('0,234 g').kind, 'number');
  assert.equal(readTyped('1.234 g').kind, 'number');
});

for (const typed of ['abc', '1.2.3', '1,2,3', '--3', 'kN', '1e5e', '-', '.', '1'.repeat(41)]) {
  test(`'${typed.slice(0, 12)}' is no plain number`, () => {
    const read = readTyped(typed);
    assert.ok(read.kind === 'unreadable' || (read.kind === 'number' && read.unit !== ''), JSON.stringify(read));
  });
}
test('nothing typed is empty, not wrong', () => assert.equal(readTyped('  ').kind, 'empty'));

test('the unit of the field is added only where none was typed', () => {
  assert.equal(withUnit('27,4', 'kN'), '27,4 kN');
  assert.equal(withUnit('27400 N', 'kN'), '27400 N');
  assert.equal(withUnit('77', '1'), '77');
  assert.equal(withUnit('1,234', 'g'), '1,234');
  assert.equal(withUnit(' ', 'g'), '');
});
