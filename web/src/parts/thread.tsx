/// The gutter drawings: lots join, batches plait in a load, pieces leave. Each row
/// draws its own piece, so rows may grow with their text.
import type { JSX } from 'preact';
import type { IngredientLot, Leaving } from '../api.ts';
import { t } from '../words.ts';

const x = 252.5;
const width = 300;

function Piece({ height, children }: { height: number; children: JSX.Element | (JSX.Element | null)[] }): JSX.Element {
  return <svg class="piece" width={width} height={height} viewBox={`0 0 ${width} ${height}`} aria-hidden="true">{children}</svg>;
}

export const Knot = ({ y, second }: { y: number; second?: boolean }): JSX.Element =>
  <g>{second && <circle class="ring2" cx={x} cy={y} r="13" />}<circle class="knot" cx={x} cy={y} r="8.5" /></g>;

/// More than four lots: one line each, unnamed, into one point; a noted lot is thick and named.
export function Fan({ lots }: { lots: IngredientLot[] }): JSX.Element {
  const height = 98;
  const step = Math.min(18.2, 218 / Math.max(lots.length - 1, 1));
  const at = (i: number): number => 10 + i * step;
  const noted = lots.findIndex((l) => l.note);
  return (
    <Piece height={height}>
      <g>{lots.map((l, i) => <path class={l.note ? 'lot noted' : 'lot'} d={`M${at(i)} 36V52C${at(i)} 78 ${x} 52 ${x} ${height}`} />)}</g>
      <g>{lots.map((l, i) => <rect class={l.note ? 'square noted' : 'square'} x={at(i) - (l.note ? 5 : 3.5)} y={l.note ? 27 : 30} width={l.note ? 10 : 7} height={l.note ? 10 : 7} />)}</g>
      {noted >= 0 ? <text class="c" x={Math.max(at(noted), 34)} y="20" text-anchor="middle">{lots[noted]?.lot}</text> : null}
    </Piece>
  );
}

export interface Joining { lot: string; words: string }
const join_gap = 32;

/// One to four lots: named over a level line that bends into the knot.
export function Join({ joins, second }: { joins: Joining[]; second: boolean }): JSX.Element {
  const knot = 18 + (joins.length - 1) * join_gap;
  const height = Math.max(knot + 30, 56);
  return (
    <Piece height={height}>
      <g>{joins.map((_, i) => {
        const y = 18 + i * join_gap;
        return <g><rect class="square" x="6" y={y - 3.5} width="7" height="7" /><path class="lot thick" d={`M12 ${y}H172C222 ${y} ${x} ${Math.min(y + 8, knot)} ${x} ${knot}`} /></g>;
      })}</g>
      <g>{joins.map((j, i) => <text x="20" y={11 + i * join_gap}><tspan class="c">{j.lot}</tspan> <tspan class="s">{j.words}</tspan></text>)}</g>
      <Knot y={knot} second={second} />
    </Piece>
  );
}

const plait_top = 33;
const plait_bottom = 107;
const plait_height = 140;
const most_named = 4;

interface Strand { from: number; to: number; phase: number }
const turn = (s: Strand, y: number): number => (2 * Math.PI * (y - s.from)) / (s.to - s.from) + s.phase;
const across = (s: Strand, y: number): number => 226 + 26.5 * Math.cos(turn(s, y));

/// Short pieces, those behind first, each with a halo of the surface: so one crosses over the other.
function pieces(strands: Strand[]): { d: string; depth: number }[] {
  const step = 3.7;
  const out: { d: string; depth: number }[] = [];
  for (const s of strands) {
    for (let y = s.from; y < s.to - 0.01; y += step) {
      const end = Math.min(y + step * 1.15, s.to);
      out.push({ d: `M${across(s, y).toFixed(1)} ${y.toFixed(1)}L${across(s, end).toFixed(1)} ${end.toFixed(1)}`, depth: Math.sin(turn(s, y)) });
    }
  }
  return out.sort((a, b) => a.depth - b.depth);
}

/// Ours is drawn last and never broken: a broken line would read as 'not yet'.
export function Plait({ others, second }: { others: string[]; second: boolean }): JSX.Element {
  const named = others.slice(0, most_named);
  const ours: Strand = { from: plait_top, to: plait_bottom, phase: 0 };
  const strands = named.map((_, i) => ({ ...ours, phase: ((i + 1) * 2 * Math.PI) / (named.length + 1) }));
  const own = Array.from({ length: 38 }, (_, i) => plait_top + (i * (plait_bottom - plait_top)) / 37).map((y, i) => `${i ? 'L' : 'M'}${across(ours, y).toFixed(1)} ${y.toFixed(1)}`).join('');
  const enters = (s: Strand, i: number): string => { const to = across(s, plait_top); const y = 12 + i * 16; return y < plait_top - 2 ? `M78 ${y}H${to - 10}Q${to} ${y} ${to} ${y + 10}V${plait_top}` : `M78 ${y}H${across(s, y)}`; };
  const leaves = (s: Strand, i: number): string => { const y = 128 - i * 16; return y > plait_bottom + 2 ? `M${across(s, plait_bottom)} ${plait_bottom}V${y - 10}Q${across(s, plait_bottom)} ${y} ${across(s, plait_bottom) - 10} ${y}H118` : `M${across(s, y)} ${y}H118`; };
  return (
    <Piece height={plait_height}>
      <g>{strands.map((s, i) => <g><path class="lot thick" d={enters(s, i)} /><path class="lot thick" d={leaves(s, i)} /><path class="square" d={`M111 ${128 - i * 16}l9 -4.5v9Z`} /><text class="c" x="6" y={16.5 + i * 16}>{named[i]}</text></g>)}</g>
      <g>{pieces(strands).map((p) => <g><path class="halo" d={p.d} /><path class="strand" d={p.d} /></g>)}</g>
      <path class="halo wide" d={own} />
      <path class="own" d={`M${x} 0V${plait_top + 1}${own.replace('M', 'L')}V${plait_height}`} />
      {others.length > most_named ? <text class="s" x="6" y="80">{t('thread.more', { n: others.length - most_named })}</text> : null}
      {second ? <circle class="ring2" cx={x} cy="122" r="9" /> : null}
    </Piece>
  );
}

/// What left the batch, counted, so that the balance can be read off the thread.
export function Leave({ leaving, second }: { leaving: Leaving[]; second: boolean }): JSX.Element {
  const top = 22;
  const height = Math.max(top + 34 * Math.max(leaving.length, 1), 56);
  return (
    <Piece height={height}>
      <g>{leaving.map((l, i) => {
        const y = top + 16 + i * 30;
        return (
          <g>
            <path class="lot thick" d={`M${x} ${top + i * 30}C${x} ${y} 242.5 ${y} 226.5 ${y}H160`} />
            {l.to === 'scrap' ? <path class="cross" d={`M148 ${y - 5}l10 10M158 ${y - 5}l-10 10`} /> : <path class="square" d={`M150 ${y}l9 -4.5v9Z`} />}
            <text x="140" y={y + 5} text-anchor="end">{l.count} <tspan class="s">{l.why}</tspan></text>
          </g>
        );
      })}</g>
      <Knot y={top} second={second} />
    </Piece>
  );
}

export const Plain = ({ second }: { second: boolean }): JSX.Element => <Piece height={56}><Knot y={28} second={second} /></Piece>;
export const NotYetKnot = (): JSX.Element => <Piece height={48}><circle class="broken" cx={x} cy="24" r="7" /></Piece>;
