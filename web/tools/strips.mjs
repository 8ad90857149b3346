/// Development only: draws the strips that the service would send, from a short text in a
/// fixture: "strip 421 ±9 | >=320 | span 400 | readings 421 438 452 | missing".
const width = 240;
const middle = 16;
const lower_px = 0.2 * width;
const upper_px = 0.8 * width;

const piece = (style, d, tone, w, more = '') => `<path d="${d}" class="fig-${style} stroke-${tone}" fill="none" stroke-width="${w}"${more}/>`;

function read(text) {
  const parts = text.replace(/^strip /, '').split('|').map((p) => p.trim());
  const numbers = (p) => [...p.matchAll(/[−-]?\d+(?:\.\d+)?/g)].map((m) => m[0].replace('−', '-'));
  const one = (start) => parts.find((p) => p.startsWith(start));
  const [result, u] = numbers(parts[0]);
  const at = (start) => (one(start) ? numbers(one(start))[0] : undefined);
  return { result, u, lower: at('>='), upper: at('<='), span: Number(at('span') ?? 0), readings: one('readings') ? numbers(one('readings')).map(Number) : [], word: parts.at(-1), words: text };
}

function scaleOf({ lower, upper, span }) {
  if (lower !== undefined && upper !== undefined) return (v) => lower_px + ((v - lower) / (upper - lower)) * (upper_px - lower_px);
  if (lower !== undefined) return (v) => lower_px + ((v - lower) / span) * (width - lower_px);
  return (v) => upper_px - ((upper - v) / span) * upper_px;
}

function hatch(from, to) {
  let d = '';
  for (let x = from; x < to; x += 5) d += `M${x} 24L${Math.min(x + 16, to)} ${24 - Math.min(16, to - x)}`;
  return piece('outside', d, 'hatch', 1);
}

function mark(word, x) {
  if (word === 'outside above') return `<path class="fig-fault fill-stop" d="M${x} 9L${x + 7} 21H${x - 7}Z"/>`;
  if (word === 'outside below') return `<path class="fig-fault fill-stop" d="M${x} 23L${x + 7} 11H${x - 7}Z"/>`;
  if (word === 'too close to say') return `<path class="fill-surface stroke-ink" stroke-width="1.6" d="M${x} 9L${x + 7} 16L${x} 23L${x - 7} 16Z"/><path class="fill-ink" d="M${x} 9L${x - 7} 16L${x} 23Z"/>`;
  if (word === 'missing') return `<circle class="fill-surface stroke-ink" stroke-width="1.7" stroke-dasharray="2.8 2" cx="${x}" cy="16" r="5.6"/>`;
  return `<circle class="fig-result fill-ink" cx="${x}" cy="16" r="4.6"/>`;
}

export function strip(text) {
  const s = read(text);
  const px = scaleOf(s);
  const from = s.lower !== undefined ? lower_px : 0;
  const to = s.upper !== undefined ? upper_px : width;
  let out = (s.lower !== undefined ? hatch(0, lower_px) : '') + (s.upper !== undefined ? hatch(upper_px, width) : '');
  out += piece('base', `M${from} ${middle}H${to}`, 'edge', 1);
  for (const [at, value] of [[lower_px, s.lower], [upper_px, s.upper]]) {
    if (value === undefined) continue;
    out += piece('limit', `M${at} 5V27`, 'ink', 2.4) + `<text x="${at}" y="39" text-anchor="middle" class="fig-label-limit fill-soft" font-size="12">${value}</text>`;
  }
  for (const r of s.readings) out += piece('reading', `M${px(r)} 1.5V8`, 'soft', 1.4);
  if (s.u && s.result) out += piece('whisker', `M${px(s.result - s.u)} 16H${px(Number(s.result) + Number(s.u))}M${px(s.result - s.u)} 11.5v9M${px(Number(s.result) + Number(s.u))} 11.5v9`, 'ink', 1.8);
  if (s.result) out += mark(s.word, px(s.result));
  return `<svg xmlns="http://www.w3.org/2000/svg" class="figure" width="240" height="44" viewBox="0 0 240 44" role="img" aria-label="${s.words.replace('strip ', '').replaceAll('|', ',').replaceAll('<', 'at most ').replaceAll('>', 'at least ').replaceAll('=', '')}">${out}</svg>`;
}

function sieve() {
  const x = (um) => 50 + (Math.log10(um / 10) / Math.log10(25)) * 460;
  const y = (p) => 20 + (1 - p / 100) * 220;
  const line = (points) => points.map(([a, p], i) => `${i ? 'L' : 'M'}${x(a).toFixed(1)} ${y(p).toFixed(1)}`).join('');
  const low = [[20, 15], [45, 50], [63, 66], [90, 80], [125, 92], [180, 97]];
  const high = [[20, 40], [45, 75], [63, 88], [90, 96], [125, 100], [180, 100]];
  const ours = [[20, 27], [45, 62], [63, 78], [90, 91], [125, 97.5], [180, 99.6]];
  const text = (at, up, words, anchor = 'middle') => `<text x="${at}" y="${up}" text-anchor="${anchor}" class="fig-label fill-ink" font-size="13">${words}</text>`;
  return `<svg xmlns="http://www.w3.org/2000/svg" class="figure" width="560" height="290" viewBox="0 0 560 290" role="img" aria-label="Sieve curve inside its band">`
    + [0, 20, 40, 60, 80, 100].map((p) => piece('grid', `M50 ${y(p)}H510`, 'hair', 1) + text(44, y(p) + 4, p, 'end')).join('')
    + `<path class="fig-window fill-well stroke-edge" stroke-width="0.8" d="${line(high)}${line([...low].reverse()).replace('M', 'L')}Z"/>`
    + piece('series-under-study', line(ours), 'look', 2.2)
    + ours.map(([a, p]) => `<circle class="fill-look" cx="${x(a)}" cy="${y(p)}" r="4"/>`).join('')
    + ours.map(([a]) => text(x(a), 260, a)).join('') + text(510, 280, 'aperture / µm', 'end') + text(50, 12, 'passing / %', 'start') + '</svg>';
}

export function drawStrips(value) {
  if (typeof value === 'string') return value.startsWith('strip ') ? strip(value) : value === 'sieve' ? sieve() : value;
  if (Array.isArray(value)) return value.map(drawStrips);
  if (value && typeof value === 'object') return Object.fromEntries(Object.entries(value).map(([k, v]) => [k, drawStrips(v)]));
  return value;
}
