/// The lines of a control plan: what is measured, how often, within which limits, and what may
/// become of what is outside.
import type { JSX } from 'preact';
import type { LimitWords } from '../api.ts';
import { measured, t } from '../words.ts';
import { Limits } from './findings.tsx';

interface Source { document: string; edition?: string; clause?: string; confirmed?: boolean }
interface Limit { lower?: unknown; upper?: unknown; source: Source }
export interface PlanLine {
  characteristic: string; words: string; gate: string; operation?: string; method: string; output: string;
  statistic: string; samples: number; sampling?: string; probability?: string; rule?: string; gauge_study?: string; limits: Limit[]; who: string; reactions: string[];
}

const bounds = ({ lower, upper }: Limit): string => {
  if (lower !== undefined && upper !== undefined) return t('plan.between', { lower: measured(lower) ?? '', upper: measured(upper) ?? '' });
  return lower !== undefined ? t('plan.at_least', { limit: measured(lower) ?? '' }) : t('plan.at_most', { limit: measured(upper) ?? '' });
};
const asWords = (limit: Limit): LimitWords => ({
  words: bounds(limit), source: [limit.source.document, limit.source.edition, limit.source.clause].filter(Boolean).join(', '), confirmed: limit.source.confirmed === true, adopted: false,
});

export function PlanLines({ plan, lines }: { plan: string; lines: PlanLine[] }): JSX.Element {
  return (
    <div class="scrolls" tabIndex={0} role="group" aria-label={t('plan.lines')}>
      <table class="plain"><caption class="vh">{t('plan.lines')}</caption>
        <thead><tr>{(['plan.what', 'plan.gate', 'plan.method', 'plan.results', 'plan.limits', 'plan.reactions', 'plan.who'] as const).map((k) => <th scope="col">{t(k)}</th>)}</tr></thead>
        <tbody>{lines.map((l) => (
          <tr><td>{l.gate === 'set-up' ? l.words : <a href={`/characteristics/${encodeURIComponent(plan)}/${encodeURIComponent(l.characteristic)}`}>{l.words}</a>}<span class="src">{l.characteristic}</span></td><td>{l.operation ? `${l.gate}: ${l.operation}` : l.gate}</td><td>{l.method}<span class="src">{l.output}</span></td>
            <td>{t('plan.n', { n: l.samples, statistic: l.statistic })}<span class="src">{l.sampling}</span></td>
            <td><Limits limits={l.limits.map(asWords)} />{l.probability !== undefined && <span class="src">{t('plan.probability', { p: l.probability })}</span>}{l.rule !== undefined && <span class="src">{t('plan.rule', { rule: l.rule })}</span>}{l.gauge_study === 'required' && <span class="src">{t('plan.gauge_study')}</span>}</td>
            <td>{l.reactions.join(', ')}</td><td>{l.who}</td></tr>
        ))}</tbody></table>
    </div>
  );
}
