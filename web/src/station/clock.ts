/// Times as a press or a wall clock shows them: "9:40", "940", "21.05".
import { clockAt } from '../chart/scale.ts';

const slack_minutes = 5;
const day_minutes = 24 * 60;

/// "09:40" of what was typed; null when it is no time of day.
export function clockOf(typed: string): string | null {
  const read = /^\s*(\d{1,2})[:. ]?(\d{2})\s*$/.exec(typed);
  if (!read || Number(read[1]) > 23 || Number(read[2]) > 59) return null;
  return `${String(read[1]).padStart(2, '0')}:${read[2]}`;
}

/// The newest moment, up to a few minutes from now, at which the plant's clock showed this; on a day without it, none.
export function momentAt(clock: string, zone: string, now: string): string | null {
  const minute = `${now.slice(0, 16)}:00Z`;
  for (let back = -slack_minutes; back < day_minutes; back += 1)
    if (clockAt(minute, -back, zone) === clock) return `${new Date(Date.parse(minute) - back * 60_000).toISOString().slice(0, 16)}:00Z`;
  return null;
}
