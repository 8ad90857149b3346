import { test } from 'node:test';
import assert from 'node:assert/strict';
import { BurstListener, cleanCode, withScan, type Scan } from '../src/scan.ts';

const type = (listener: BurstListener, text: string, gap: number, from = 0): string | null => {
  let code: string | null = null;
  [...text, 'Enter'].forEach((key, i) => { code = listener.key(key, from + i * gap); });
  return code;
};

test('a burst that ends in Enter is a scan', () => assert.equal(type(new BurstListener(), 'K7M4J-7', 8), 'K7M4J-7'));
test('a hand is not a scanner', () => assert.equal(type(new BurstListener(), 'K7M4J-7', 140), null));
test('a lone Enter is no scan', () => assert.equal(new BurstListener().key('Enter', 5), null));
test('what a hand typed before does not stick to the scan', () => {
  const listener = new BurstListener();
  listener.key('x', 0);
  assert.equal(type(listener, 'R-2291', 6, 900), 'R-2291');
});
test('two scans one after the other stay two', () => {
  const listener = new BurstListener();
  assert.equal(type(listener, 'R-2291', 6), 'R-2291');
  assert.equal(type(listener, 'P-0877', 6, 60), 'P-0877');
});
test('Shift of a capital does not break the burst', () => {
  const listener = new BurstListener();
  listener.key('Shift', 0); listener.key('K', 4); listener.key('7', 9); listener.key('Shift', 12); listener.key('M', 15);
  assert.equal(listener.key('Enter', 20), 'K7M');
});

test('control signs, spaces and case are mended', () => assert.equal(cleanCode(' \u0002k7m4j-7\r\n'), 'K7M4J-7'));

test('the last five scans, newest first, each once', () => {
  const scan = (code: string): Scan => ({ code, words: '', href: null, good: true });
  const after = ['A', 'B', 'C', 'A', 'D', 'E', 'F'].reduce<Scan[]>((list, code) => withScan(list, scan(code)), []);
  assert.deepEqual(after.map((s) => s.code), ['F', 'E', 'D', 'A', 'C']);
});
