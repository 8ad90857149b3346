import { test } from 'node:test';
import assert from 'node:assert/strict';
import { clockAt, minuteTicks, nearest, spread, zoomed } from '../src/chart/scale.ts';

test('the clock is the plant’s, past midnight too, whatever zone the instant is written in', () => {
  assert.equal(clockAt('2026-11-23T21:40:00+01:00', 0, 'Europe/Berlin'), '21:40');
  assert.equal(clockAt('2026-11-23T20:40:00Z', 208, 'Europe/Berlin'), '01:08');
  assert.equal(clockAt('2026-11-23T20:40:00Z', 80, 'UTC'), '22:00');
});
test('when clocks go back the hour comes twice', () => {
  // 2026-10-25 01:00 UTC: Berlin goes from 03:00 back to 02:00
  assert.equal(clockAt('2026-10-25T00:30:00Z', 0, 'Europe/Berlin'), '02:30');
  assert.equal(clockAt('2026-10-25T00:30:00Z', 60, 'Europe/Berlin'), '02:30');
  assert.equal(clockAt('2026-10-25T00:30:00Z', 120, 'Europe/Berlin'), '03:30');
});
test('ticks stand on whole steps', () => {
  assert.deepEqual(minuteTicks(0, 438), [0, 60, 120, 180, 240, 300, 360, 420]);
  assert.deepEqual(minuteTicks(205, 230), [205, 210, 215, 220, 225, 230]);
});
test('the nearest reading', () => {
  assert.equal(nearest([0, 10, 20], 14), 1);
  assert.equal(nearest([0, 10, 20], 16), 2);
  assert.equal(nearest([0, 10, 20], 99), 2);
  assert.equal(nearest([0, 10, 20], -4), 0);
});
test('labels keep their distance and their order', () => {
  assert.deepEqual(spread([10, 12, 50], 16, 100), [10, 26, 50]);
  assert.deepEqual(spread([95, 96], 16, 100), [84, 100]);
});
test('a closer look stays inside the cure', () => {
  assert.deepEqual(zoomed([0, 400], 0.5, 10, 400), [0, 200]);
  assert.deepEqual(zoomed([0, 200], 4, 100, 400), [0, 400]);
  assert.deepEqual(zoomed([100, 200], 0.5, 190, 400), [165, 215]);
});
