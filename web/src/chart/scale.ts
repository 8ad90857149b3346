/// Pure helpers of the cure chart: clock words, ticks, nearest reading, spread labels.

/// The plant's own clock at so many minutes after an instant, also across a change of its clocks.
export function clockAt(start: string, minutes: number, zone: string): string {
  const at = new Date(Date.parse(start) + minutes * 60_000);
  return Number.isNaN(at.getTime()) ? '' : clockOf(zone).format(at);
}

const clocks = new Map<string, Intl.DateTimeFormat>();
function clockOf(zone: string): Intl.DateTimeFormat {
  let clock = clocks.get(zone);
  if (!clock) clocks.set(zone, clock = new Intl.DateTimeFormat('en-GB', { timeZone: zone, hour: '2-digit', minute: '2-digit', hourCycle: 'h23' }));
  return clock;
}

export const hoursAt = (minutes: number): string => String(Math.round((minutes / 60) * 100) / 100);

const steps = [1, 2, 5, 10, 15, 30, 60, 120, 240, 480, 1440];
export const minuteStep = (from: number, to: number, most = 8): number => steps.find((s) => (to - from) / s <= most) ?? 1440;

export function minuteTicks(from: number, to: number): number[] {
  const step = minuteStep(from, to);
  const out: number[] = [];
  for (let m = Math.ceil(from / step) * step; m <= to + 1e-9; m += step) out.push(m);
  return out;
}

/// Index of the reading nearest to `minute`; minutes rise.
export function nearest(minutes: readonly number[], minute: number): number {
  let low = 0;
  let high = minutes.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((minutes[middle] ?? 0) < minute) low = middle + 1;
    else high = middle;
  }
  const before = minutes[low - 1];
  return before !== undefined && minute - before <= (minutes[low] ?? Infinity) - minute ? low - 1 : low;
}

/// Label lines moved apart as little as a downward and an upward sweep need.
export function spread(wanted: readonly number[], gap: number, bottom: number): number[] {
  const order = wanted.map((_, i) => i).sort((a, b) => (wanted[a] ?? 0) - (wanted[b] ?? 0));
  const out = [...wanted];
  order.forEach((i, n) => { const above = order[n - 1]; if (above !== undefined) out[i] = Math.max(out[i] ?? 0, (out[above] ?? 0) + gap); });
  let limit = bottom;
  for (const i of [...order].reverse()) { out[i] = Math.min(out[i] ?? 0, limit); limit = (out[i] ?? 0) - gap; }
  return out;
}

/// The shown part of the time axis, about `middle`, kept inside the whole.
export function zoomed([from, to]: [number, number], factor: number, middle: number, whole: number): [number, number] {
  const width = Math.min(Math.max((to - from) * factor, 5), whole);
  const start = Math.min(Math.max(middle - width / 2, 0), whole - width);
  return [start, start + width];
}
