import { test } from 'node:test';
import assert from 'node:assert/strict';
import { readFileSync, readdirSync } from 'node:fs';
import en from '../src/words/en.json' with { type: 'json' };
import { fill, fromName, spans } from '../src/words.ts';

declare global { interface ImportMeta { root: string } }
const root = import.meta.root;

const files = (folder: string): string[] => readdirSync(root + folder, { recursive: true }).map((f) => `${folder}/${f as string}`);
const sources = files('src').filter((f) => /\.tsx?$/.test(f));
const code = sources.map((f) => ({ f, text: readFileSync(root + f, 'utf8') }));

test('slots are filled, and one without a value stays visible', () => {
  assert.equal(fill('{n} of {m}', { n: 3 }), '3 of {m}');
});
test('first words are set off', () => {
  assert.deepEqual(spans('**On hold.** Two pads'), [{ text: 'On hold.', strong: true }, { text: ' Two pads', strong: false }]);
});
test('a name reads as words', () => assert.equal(fromName('plate_lot'), 'Plate lot'));

/// Text between tags, and attributes that people read, must come from the catalogue.
test('no page holds a sentence of its own', () => {
  const found: string[] = [];
  for (const { f, text } of code.filter((c) => c.f.endsWith('.tsx'))) {
    const bare = text.replace(/\/\/.*$/gm, '');
    for (const m of bare.matchAll(/<\/?[a-zA-Z][^<>{}=]*>\s*([A-Za-z][A-Za-z ,.’'!?-]{2,})\s*</g)) found.push(`${f}: ${m[1]}`);
    for (const m of bare.matchAll(/(?:title|label|aria-label|placeholder|alt)="([^"]*[a-z]{2}[^"]*)"/g)) found.push(`${f}: ${m[1]}`);
  }
  assert.deepEqual(found, []);
});

test('every key is used, and every key used is there', () => {
  const all = code.map((c) => c.text).join('\n');
  const unused = Object.keys(en).filter((k) => !all.includes(`'${k}'`) && !all.includes(`\`${k.slice(0, k.indexOf('.') + 1)}\${`));
  assert.deepEqual(unused, []);
});
