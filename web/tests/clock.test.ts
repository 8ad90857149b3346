import { test } from 'node:test';
import { equal } from 'node:assert/strict';
import { clockOf, momentAt } from '../src/station/clock.ts';

test('a time of day is read as people type it', () => {
  for (const [typed, read] of [['9:40', '09:40'], ['940', '09:40'], ['21.05', '21:05'], ['0:00', '00:00'], [' 7 05 ', '07:05']]) equal(clockOf(typed), read);
  for (const typed of ['24:00', '9:60', '9', '9:4', 'noon', '', '-9:40', '12345']) equal(clockOf(typed), null);
});

test('it is the newest such moment of the plant’s clock', () => {
  const now = '2026-11-25T09:30:20Z';  // 10:30 in the plant
  equal(momentAt('10:30', 'Europe/Berlin', now), '2026-11-25T09:30:00Z');
  equal(momentAt('10:35', 'Europe/Berlin', now), '2026-11-25T09:35:00Z');
  equal(momentAt('10:36', 'Europe/Berlin', now), '2026-11-24T09:36:00Z');
  equal(momentAt('23:50', 'Europe/Berlin', now), '2026-11-24T22:50:00Z');
  equal(momentAt('09:30', 'UTC', now), '2026-11-25T09:30:00Z');
});

test('an hour that the clocks skip is none, one that comes twice is the later', () => {
  equal(momentAt('02:30', 'Europe/Berlin', '2026-03-29T06:00:00Z'), null);
  equal(momentAt('02:30', 'Europe/Berlin', '2026-10-25T06:00:00Z'), '2026-10-25T01:30:00Z');
});
