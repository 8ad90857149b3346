import { test } from 'node:test';
import assert from 'node:assert/strict';
import type { Field } from '../src/api.ts';
import { controlId, emptyForm, emptyPaths, entryFrom, formFrom, nested, pathParts, toInput } from '../src/entry.ts';

const text = (name: string, optional = false): Field => ({ name, type: 'text', optional });
const clamps: Field = {
  name: 'clamps', type: 'list', optional: true,
  members: [text('clamp'), text('batch'), { name: 'pads', type: 'whole number', optional: false }],
};
const fields: Field[] = [
  text('load'), text('why', true), clamps,
  { name: 'film', type: 'list', item: 'number with unit', optional: true },
  { name: 'scrap', type: 'named values', item: 'whole number', optional: true },
  { name: 'legal', type: 'yes/no', optional: true },
];

test('a form goes out as it was typed, empty optional members left out', () => {
  const form = formFrom(fields, nested({ load: 'N-0412', 'clamps[0].clamp': '21', 'clamps[0].batch': 'K7M4J-7', 'clamps[0].pads': '160' }));
  assert.deepEqual(toInput(fields, form), { load: 'N-0412', clamps: [{ clamp: '21', batch: 'K7M4J-7', pads: 160 }] });
});

test('what is no whole number goes out as text, for the service to refuse with its place', () => {
  const form = formFrom(fields, { load: 'x', clamps: [{ clamp: '1', batch: 'b', pads: '1,5' }] });
  assert.deepEqual(toInput(fields, form)['clamps'], [{ clamp: '1', batch: 'b', pads: '1,5' }]);
});

test('a record comes back into the form and out again', () => {
  const form = formFrom(fields, { load: 'N-1', film: [{ value: '24.0', unit: 'um' }], scrap: { chipped: 4 }, legal: true });
  assert.deepEqual(toInput(fields, form), { load: 'N-1', film: ['24.0 um'], scrap: { chipped: 4 }, legal: true });
});

test('required members that hold nothing are named by path', () => {
  assert.deepEqual(emptyPaths(fields, emptyForm(fields)), ['load']);
  const form = formFrom(fields, nested({ load: 'N', 'clamps[0].clamp': '1', 'clamps[1].batch': 'b' }));
  assert.deepEqual(emptyPaths(fields, form), ['clamps[0].batch', 'clamps[0].pads', 'clamps[1].clamp', 'clamps[1].pads']);
});

test('a required list starts with one row and asks for it', () => {
  const need: Field[] = [{ ...clamps, optional: false }];
  assert.deepEqual(emptyPaths(need, emptyForm(need)), ['clamps[0]']);
});

test('a free object is JSON, and stays text where it is not', () => {
  const free: Field = { name: 'mapping', type: 'object', optional: false };
  assert.deepEqual(toInput([free], { kind: 'object', members: { mapping: { kind: 'text', text: '{"a":1}' } } }), { mapping: { a: 1 } });
  assert.deepEqual(toInput([free], { kind: 'object', members: { mapping: { kind: 'text', text: '{a' } } }), { mapping: '{a' });
  assert.deepEqual(entryFrom(free, { a: 1 }), { kind: 'text', text: '{\n "a": 1\n}' });
});

test('a plain number on record stays one when it is issued again', () => {
  const limit: Field[] = [{ name: 'lower', type: 'number with unit', optional: true }];
  assert.deepEqual(toInput(limit, formFrom(limit, { lower: { value: '0.36', unit: '1' } })), { lower: { value: '0.36', unit: '1' } });
  assert.deepEqual(toInput(limit, formFrom(limit, { lower: { value: '16.30', unit: 'mm' } })), { lower: '16.30 mm' });
});

test('paths and control identifiers', () => {
  assert.deepEqual(pathParts('clamps[12].batch'), ['clamps', 12, 'batch']);
  assert.equal(controlId('clamps[12].batch'), 'f-clamps-12-batch');
  assert.equal(controlId('film[0]'), 'f-film-0');
});
