import { test } from 'node:test';
import assert from 'node:assert/strict';
import { readFileSync, readdirSync } from 'node:fs';
import { pages, stations } from '../../words/en.json';
import { fill, fromName, spans } from '../src/words.ts';

declare global { interface ImportMeta { root: string } }
const root = import.meta.root;
const en = { ...pages, ...stations };

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

/// Text between tags, and attributes that people read.
function literals(source: string): string[] {
  const bare = source.replace(/^\s*\/\/.*$/gm, '');
  const text = [...bare.matchAll(/<\/?[a-zA-Z][^<>{}]*>\s*([A-Za-z][A-Za-z ,.’'!?-]{2,}?)\s*</g)];
  const read = [...bare.matchAll(/(?:title|label|aria-label|placeholder|alt)="([^"]*[a-z]{2}[^"]*)"/g)];
  return [...text, ...read].map((m) => m[1] ?? '');
}
test('the search for literal sentences finds one', () => {
  assert.deepEqual(literals('<p class="soft">Nothing here.</p><img alt="a pad" />'), ['Nothing here.', 'a pad']);
});
test('no page holds a sentence of its own', () => {
  const found = code.filter((c) => c.f.endsWith('.tsx')).flatMap((c) => literals(c.text).map((l) => `${c.f}: ${l}`));
  assert.deepEqual(found, []);
});

/// Keys made at run time are made from these beginnings.
const made = ['word.', 'help.word.', 'kind.', 'kinds.', 'gate.', 'field.', 'outcome.', 'station.line.', 'station.step_done.', 'formula.'];
test('every key of the catalogue is used', () => {
  const all = code.map((c) => c.text).join('\n');
  const unused = Object.keys(en).filter((k) => !all.includes(`'${k}'`) && !made.some((m) => k.startsWith(m)));
  assert.deepEqual(unused, []);
});
test('every slot of a text is named like a member', () => {
  for (const [key, text] of Object.entries(en)) {
    for (const [, slot] of text.matchAll(/\{([^}]*)\}/g)) assert.match(slot ?? '', /^[a-z_]+$/, key);
  }
});
