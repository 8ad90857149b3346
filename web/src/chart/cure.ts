/// The cure chart: recorded solid, calculated dashed, the programme window behind,
/// gaps hatched, faults as numbered flags. It draws; the service has found everything.
import uPlot from 'uplot';
import type { ChartMark, LoadPage, Series, SeriesChannel } from '../api.ts';
import { clockAt, hoursAt, minuteTicks, spread } from './scale.ts';

type Axis = 'temperature' | 'degree';
const axisOf = (c: SeriesChannel): Axis => c.axis ?? 'temperature';
export interface ChartWords { temperature: string; degree: string; hours: string; clock: string }
export interface Drawing {
  load: LoadPage;
  series: Series;
  range: [number, number];
  words: ChartWords;
  zone: string;
  zoom(from: number, to: number): void;
}
export interface Drawn { cursor(minute: number | null): void; resize(width: number): void; destroy(): void }

const left = 64;
const right = 168;
const least_width = 640;
const marker_every = 30;
const text_px = 14;

function palette(): Record<string, string> {
  const style = getComputedStyle(document.documentElement);
  return Object.fromEntries(['ink', 'soft', 'edge', 'hair', 'well', 'hatch', 'grey', 'look', 'sheet', 'paper', 'sans'].map((n) => [n, style.getPropertyValue(`--${n}`).trim()]));
}
type Palette = ReturnType<typeof palette>;

const colourOf = (c: SeriesChannel, p: Palette): string => (c.kind === 'calculated' ? p['ink'] : c.first ? p['look'] : p['grey']) ?? '#000';
const dashOf = (c: SeriesChannel): number[] => (c.kind === 'recorded' ? [] : c.first ? [11, 5] : [2, 3]);

function seriesOf(c: SeriesChannel, p: Palette): uPlot.Series {
  return { label: c.words, stroke: colourOf(c, p), width: c.kind === 'calculated' && c.first ? 2.6 : 2, dash: dashOf(c), points: { show: false }, spanGaps: false };
}

/// Everything below is in canvas pixels; `px` turns page pixels into them.
class Pen {
  readonly px = uPlot.pxRatio;
  readonly ctx: CanvasRenderingContext2D;
  constructor(readonly u: uPlot, readonly p: Palette) { this.ctx = u.ctx; }

  x(minute: number): number { return this.u.valToPos(minute, 'x', true); }
  y(value: number): number { return this.u.valToPos(value, 'y', true); }
  get box(): { left: number; top: number; width: number; height: number; right: number; bottom: number } {
    const { left: l, top, width, height } = this.u.bbox;
    return { left: l, top, width, height, right: l + width, bottom: top + height };
  }
  inside(draw: () => void): void {
    const { left: l, top, width, height } = this.box;
    this.ctx.save();
    this.ctx.beginPath();
    this.ctx.rect(l, top, width, height);
    this.ctx.clip();
    draw();
    this.ctx.restore();
  }
  line(points: [number, number][], colour: string, width = 1, dash: number[] = []): void {
    const { ctx, px } = this;
    ctx.save();
    ctx.beginPath();
    points.forEach(([x, y], i) => (i ? ctx.lineTo(x, y) : ctx.moveTo(x, y)));
    ctx.strokeStyle = colour;
    ctx.lineWidth = width * px;
    ctx.setLineDash(dash.map((d) => d * px));
    ctx.stroke();
    ctx.restore();
  }
  widthOf(words: string, bold: boolean): number {
    this.ctx.font = `${bold ? 700 : 400} ${text_px * this.px}px ${this.p['sans']}`;
    return this.ctx.measureText(words).width;
  }
  text(words: string, x: number, y: number, { bold = false, colour = this.p['ink'] ?? '#000', align = 'left' as CanvasTextAlign, size = text_px } = {}): void {
    const { ctx, px } = this;
    ctx.save();
    ctx.font = `${bold ? 700 : 400} ${size * px}px ${this.p['sans']}`;
    ctx.textAlign = align;
    ctx.textBaseline = 'middle';
    ctx.lineJoin = 'round';
    ctx.strokeStyle = this.p['paper'] ?? '#fff';
    ctx.lineWidth = 4 * px;
    ctx.strokeText(words, x, y);
    ctx.fillStyle = colour;
    ctx.fillText(words, x, y);
    ctx.restore();
  }
}

function window_(pen: Pen, { minutes, lower, upper }: LoadPage['window']): void {
  if (minutes.length < 2) return;
  const edge = (values: number[]): [number, number][] => minutes.map((m, i) => [pen.x(m), pen.y(values[i] ?? 0)]);
  const { ctx } = pen;
  ctx.beginPath();
  [...edge(upper), ...edge(lower).reverse()].forEach(([x, y], i) => (i ? ctx.lineTo(x, y) : ctx.moveTo(x, y)));
  ctx.closePath();
  ctx.fillStyle = pen.p['well'] ?? '#ddd';
  ctx.fill();
  for (const side of [lower, upper]) pen.line(edge(side), pen.p['edge'] ?? '#666', 0.8);
}

const isGap = (m: ChartMark): boolean => m.kind === 'gap';
function gap(pen: Pen, m: ChartMark): void {
  const { ctx, px } = pen;
  const { top, height, bottom } = pen.box;
  const from = pen.x(m.from);
  const width = Math.max(pen.x(m.to) - from, 3 * px);
  ctx.save();
  ctx.beginPath();
  ctx.rect(from, top, width, height);
  ctx.clip();
  for (let x = from - height; x < from + width; x += 6 * px) pen.line([[x, bottom], [x + height, top]], pen.p['hatch'] ?? '#888', 1);
  ctx.restore();
}

function moments(pen: Pen, load: LoadPage, named: boolean): void {
  const { top, bottom } = pen.box;
  for (const m of load.moments) {
    const x = pen.x(m.minutes);
    if (x < pen.box.left || x > pen.box.right) continue;
    pen.line([[x, top - (named ? 8 * pen.px : 0)], [x, bottom]], pen.p['ink'] ?? '#000', 1);
  }
}

/// Each moment is named once, at the side where there is room.
function momentWords(pen: Pen, load: LoadPage): void {
  load.moments.forEach((m, i) => {
    const x = pen.x(m.minutes);
    if (x < pen.box.left || x > pen.box.right) return;
    const leftward = i % 2 === 0;
    pen.text(m.words, x + (leftward ? -8 : 8) * pen.px, pen.box.top + 10 * pen.px, { align: leftward ? 'right' : 'left' });
  });
}

function brackets(pen: Pen, load: LoadPage): void {
  const y = pen.box.top - 14 * pen.px;
  for (const b of load.brackets) {
    const [from, to] = [Math.max(pen.x(b.from), pen.box.left), Math.min(pen.x(b.to), pen.box.right)];
    if (to <= from) continue;
    const ink = pen.p['ink'] ?? '#000';
    const half = pen.widthOf(b.words, true) / 2 + 8 * pen.px;
    const middle = (from + to) / 2;
    pen.line([[from, y + 8 * pen.px], [from, y], [Math.max(middle - half, from), y]], ink, 1.6);
    pen.line([[Math.min(middle + half, to), y], [to, y], [to, y + 8 * pen.px]], ink, 1.6);
    pen.text(b.words, middle, y, { bold: true, align: 'center' });
  }
}

function limits(pen: Pen, load: LoadPage, axis: Axis): void {
  for (const l of load.limits.filter((one) => (one.axis ?? 'temperature') === axis)) {
    const y = pen.y(l.value);
    pen.line([[pen.box.left, y], [pen.box.right, y]], pen.p['ink'] ?? '#000', 1.6);
  }
}

function markers(pen: Pen, c: SeriesChannel, minutes: number[], place: number): void {
  if (c.kind !== 'recorded') return;
  const { ctx, px } = pen;
  let due = marker_every / 2 + (place % 2) * (marker_every / 2);
  ctx.fillStyle = colourOf(c, pen.p);
  minutes.forEach((m, i) => {
    const value = c.values[i];
    if (m < due || value === null || value === undefined) return;
    due = (Math.floor(m / marker_every) + 1) * marker_every + (place % 2) * (marker_every / 2);
    const [x, y, r] = [pen.x(m), pen.y(value), 4.4 * px];
    ctx.beginPath();
    if (c.first) ctx.rect(x - r, y - r, 2 * r, 2 * r);
    else ctx.arc(x, y, r, 0, 2 * Math.PI);
    ctx.fill();
  });
}

/// Words at the right end of a line.
interface End { words: string; bold: boolean; colour: string; x: number; y: number }
function lastShown(c: SeriesChannel, { minutes }: Series, pen: Pen): End | null {
  const grey = c.kind === 'recorded' && !c.first;
  const look = { words: c.words, bold: c.first, colour: grey ? pen.p['soft'] ?? '#555' : colourOf(c, pen.p) };
  for (let i = minutes.length - 1; i >= 0; i--) {
    const [m, value] = [minutes[i], c.values[i]];
    if (m !== undefined && value !== null && value !== undefined) return { ...look, x: Math.min(pen.x(m), pen.box.right), y: pen.y(value) };
  }
  return null;
}

/// Names and limits stand at their line's end, moved apart with a leader where they would meet.
function names(pen: Pen, channels: SeriesChannel[], series: Series, load: LoadPage, axis: Axis): void {
  const limit_ends = load.limits.filter((l) => (l.axis ?? 'temperature') === axis).map((l): End => ({ words: l.words, bold: true, colour: pen.p['ink'] ?? '#000', x: pen.box.right, y: pen.y(l.value) }));
  const ends = [...limit_ends, ...channels.map((c) => lastShown(c, series, pen)).filter((e): e is End => e !== null)];
  const lines = spread(ends.map((e) => e.y), 18 * pen.px, pen.box.bottom);
  ends.forEach((e, i) => {
    const y = lines[i] ?? e.y;
    const x = pen.box.right + 22 * pen.px;
    pen.line([[e.x + 2 * pen.px, e.y], [x - 4 * pen.px, y]], pen.p['edge'] ?? '#666', 0.8);
    pen.text(e.words, x, y, { bold: e.bold, colour: e.colour });
  });
}

function valueNear(channels: SeriesChannel[], m: ChartMark, series: Series): number | null {
  const c = channels.find((one) => one.name === m.channel) ?? channels.find((one) => one.kind === 'recorded');
  const at = series.minutes.findIndex((minute) => minute >= m.from);
  return c?.values[at] ?? null;
}

function flags(pen: Pen, channels: SeriesChannel[], load: LoadPage, series: Series): void {
  const { ctx, px } = pen;
  for (const m of load.marks.filter((one) => one.n > 0)) {
    const x = isGap(m) ? (pen.x(m.from) + pen.x(m.to)) / 2 : pen.x(m.from);
    if (x < pen.box.left || x > pen.box.right) continue;
    const value = valueNear(channels, m, series);
    const y = isGap(m) || value === null ? pen.box.top + pen.box.height * 0.42 : Math.max(pen.y(value) - 46 * px, pen.box.top + 34 * px);
    if (!isGap(m) && value !== null) pen.line([[x, y], [x, pen.y(value)]], pen.p['ink'] ?? '#000', 1.2);
    ctx.beginPath();
    ctx.arc(x, y, 11 * px, 0, 2 * Math.PI);
    ctx.fillStyle = pen.p['ink'] ?? '#000';
    ctx.fill();
    ctx.save();
    ctx.font = `700 ${text_px * px}px ${pen.p['sans']}`;
    ctx.textAlign = 'center';
    ctx.textBaseline = 'middle';
    ctx.fillStyle = pen.p['sheet'] ?? '#fff';
    ctx.fillText(String(m.n), x, y + 0.5 * px);
    ctx.restore();
  }
}

function optionsOf(d: Drawing, axis: Axis, channels: SeriesChannel[], p: Palette, size: { width: number; height: number }, bottom: boolean): uPlot.Options {
  const top = axis === 'temperature';
  const font = `${text_px}px ${p['sans']}`;
  const grid = { stroke: p['hair'] ?? '#ccc', width: 1 };
  return {
    ...size,
    padding: [30, right, 4, 0],
    legend: { show: false },
    cursor: { drag: { x: true, y: false, setScale: false }, points: { show: false }, y: false },
    scales: {
      x: { time: false, range: () => d.range },
      y: { range: (_u, low, high) => (top ? [0, Math.ceil((Math.max(high, ...d.load.window.upper, 1) + 12) / 20) * 20] : [Math.min(0, low ?? 0), 1.05]) },
    },
    series: [{}, ...channels.map((c) => seriesOf(c, p))],
    axes: [
      { font, stroke: p['soft'] ?? '#555', grid: { show: false }, ticks: { stroke: p['ink'] ?? '#000', width: 1.2, size: 6 }, border: { show: true, stroke: p['ink'] ?? '#000', width: 1.2 },
        size: bottom ? 50 : 10, splits: () => minuteTicks(...d.range),
        values: (_u, at) => at.map((m) => (bottom ? `${hoursAt(m)}\n${clockAt(d.series.start, m, d.zone)}` : '')) },
      { font, stroke: p['ink'] ?? '#000', size: left, grid, ticks: { show: false }, space: top ? 44 : 30, values: (_u, at) => at.map((v) => (top ? String(v) : v.toFixed(1))) },
    ],
    hooks: {
      drawClear: [(u) => { const pen = new Pen(u, p); pen.inside(() => { if (top) window_(pen, d.load.window); d.load.marks.filter(isGap).forEach((m) => gap(pen, m)); }); }],
      draw: [(u) => {
        const pen = new Pen(u, p);
        pen.inside(() => { channels.forEach((c, i) => markers(pen, c, d.series.minutes, i)); });
        limits(pen, d.load, axis);
        moments(pen, d.load, top);
        if (top) { momentWords(pen, d.load); brackets(pen, d.load); flags(pen, channels, d.load, d.series); }
        names(pen, channels, d.series, d.load, axis);
        pen.text(top ? d.words.temperature : d.words.degree, 4 * pen.px, pen.box.top - 16 * pen.px, { colour: p['soft'] ?? '#555' });
        if (bottom) { pen.text(d.words.hours, pen.box.right + 8 * pen.px, pen.box.bottom + 16 * pen.px, { colour: p['soft'] ?? '#555' }); pen.text(d.words.clock, pen.box.right + 8 * pen.px, pen.box.bottom + 34 * pen.px, { colour: p['soft'] ?? '#555', size: 13 }); }
      }],
      setSelect: [(u) => {
        if (u.select.width < 4) return;
        d.zoom(u.posToVal(u.select.left, 'x'), u.posToVal(u.select.left + u.select.width, 'x'));
      }],
    },
  };
}

export function drawCure(into: HTMLElement, d: Drawing): Drawn {
  const p = palette();
  const width = Math.max(into.clientWidth, least_width);
  const axes: Axis[] = (['temperature', 'degree'] as const).filter((a) => d.series.channels.some((c) => axisOf(c) === a));
  const plots = axes.map((axis, i) => {
    const channels = d.series.channels.filter((c) => axisOf(c) === axis);
    const data: uPlot.AlignedData = [d.series.minutes, ...channels.map((c) => c.values)];
    const bottom = i === axes.length - 1;
    const size = { width, height: axis === 'temperature' ? 400 : 210 };
    return new uPlot(optionsOf(d, axis, channels, p, { ...size, height: size.height + (bottom ? 40 : 0) }, bottom), data, into);
  });
  return {
    cursor: (minute) => plots.forEach((u) => u.setCursor(minute === null ? { left: -10, top: -10 } : { left: u.valToPos(minute, 'x'), top: 10 }, false)),
    resize: (to) => plots.forEach((u) => u.setSize({ width: Math.max(to, least_width), height: u.height })),
    destroy: () => plots.forEach((u) => u.destroy()),
  };
}
