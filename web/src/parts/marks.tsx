/// The marks: each word has a shape of its own outline; colour only repeats it.
import type { JSX } from 'preact';
import type { Word } from '../api.ts';
import { known } from '../words.ts';

const shape: Record<string, string> = {
  'inside': 'f-inside', 'outside above': 'f-above', 'outside below': 'f-below', 'too close to say': 'f-close', 'missing': 'f-missing', 'not met': 'f-notmet',
  'unconfirmed limit': 'f-unconfirmed', 'no limit on file': 'f-nolimit', 'late': 'f-late', 'due soon': 'f-due', 'overtaken': 'f-overtaken',
  'on its way': 's-running', 'hold': 's-hold', 'released': 's-released', 'concession': 's-concession', 'rework': 's-rework',
  'scrap': 's-scrap', 'refused': 's-refused', 'clear': 's-released', 'in calibration': 'f-inside',
};

export function Mark({ word, large }: { word: Word | string; large?: boolean }): JSX.Element | null {
  const id = shape[word];
  if (!id) return null;
  const size = id.startsWith('s-') || large ? 'mk' : 'mk f';
  return <svg class={size} aria-hidden="true"><use href={`#${id}`} /></svg>;
}

/// The mark with its word; `words` where the page says it shorter.
export function Marked({ word, words }: { word: Word | string; words?: string }): JSX.Element {
  return <span class="kind"><Mark word={word} /><span>{words ?? known(`word.${word}`, word)}</span></span>;
}

const thread = 'M10 0V7';
export function Sprite(): JSX.Element {
  return (
    <svg class="sprite" aria-hidden="true" width="0" height="0">
      <defs>
        <pattern id="hatch" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path class="hatchline" d="M0 0V5" /></pattern>
      </defs>
      <symbol id="s-hold" viewBox="0 0 20 20"><path class="l3" d={thread} /><path class="l3 dash" d="M10 14V20" /><rect class="amber" x="1" y="7" width="18" height="6" /></symbol>
      <symbol id="s-released" viewBox="0 0 20 20"><path class="l3" d="M10 0V20" /><path class="l5" d="M0.5 10H6M14 10H19.5" /></symbol>
      <symbol id="s-concession" viewBox="0 0 20 20"><path class="l3" d="M10 0V20" /><path class="l5" d="M0.5 10H19.5" /><path class="open" d="M10 4.2L15.8 10L10 15.8L4.2 10Z" /></symbol>
      <symbol id="s-rework" viewBox="0 0 20 20"><path class="l4" d="M0.5 15.5H19.5" /><path class="l3" d="M6 13.5V5.6A3.6 3.6 0 0 1 13.2 5.6V9.4" /><path class="full" d="M9.2 7.6L13.2 12.4L17.2 7.6Z" /></symbol>
      <symbol id="s-scrap" viewBox="0 0 20 20"><path class="l3" d={thread} /><path class="l4" d="M1 8.6H19" /><path class="l2" d="M5.5 12.4L14.5 19.4M14.5 12.4L5.5 19.4" /></symbol>
      <symbol id="s-refused" viewBox="0 0 20 20"><path class="l3 brick" d="M10 0V11" /><path class="l6 brick" d="M0.5 13H19.5" /></symbol>
      <symbol id="s-running" viewBox="0 0 20 20"><path class="l3" d="M10 0V11" /><path class="l3 dash" d="M10 12V20" /><circle class="full" cx="10" cy="10" r="4.6" /></symbol>
      <symbol id="f-inside" viewBox="0 0 16 16"><circle class="full" cx="8" cy="8" r="4.6" /></symbol>
      <symbol id="f-above" viewBox="0 0 16 16"><path class="full brick" d="M8 1.6L15 14H1Z" /></symbol>
      <symbol id="f-below" viewBox="0 0 16 16"><path class="full brick" d="M8 14.4L15 2H1Z" /></symbol>
      <symbol id="f-close" viewBox="0 0 16 16"><path class="open" d="M8 1L15 8L8 15L1 8Z" /><path class="full" d="M8 1L1 8L8 15Z" /></symbol>
      <symbol id="f-missing" viewBox="0 0 16 16"><circle class="ring broken" cx="8" cy="8" r="5.8" /></symbol>
      <symbol id="f-notmet" viewBox="0 0 16 16"><path class="l3 brick" d="M2 2L14 14M14 2L2 14" /></symbol>
      <symbol id="f-unconfirmed" viewBox="0 0 16 16"><rect class="open" x="5.5" y="1" width="5" height="14" /></symbol>
      <symbol id="f-nolimit" viewBox="0 0 16 16"><path class="l1 dots" d="M0 8H16" /><circle class="open" cx="8" cy="8" r="3.8" /></symbol>
      <symbol id="f-late" viewBox="0 0 16 16"><circle class="open" cx="8" cy="8" r="6.6" /><path class="l2" d="M8 8V3M8 8L11.4 10" /></symbol>
      <symbol id="f-due" viewBox="0 0 16 16"><circle class="ring broken" cx="8" cy="8" r="6.6" /><path class="l2" d="M8 8V3.6M8 8L11 9.8" /></symbol>
      <symbol id="f-overtaken" viewBox="0 0 16 16"><circle class="open" cx="5" cy="8" r="3.8" /><path class="l2" d="M5 2.2H12V11" /><path class="full" d="M8.4 9.6L12 15L15.6 9.6Z" /></symbol>
      <symbol id="brand" viewBox="0 0 20 28"><path class="l3" d="M10 0V15" /><circle class="full" cx="10" cy="6" r="4" /><path class="l5" d="M1 16H19" /><path class="l3 dash" d="M10 19V28" /></symbol>
    </svg>
  );
}
