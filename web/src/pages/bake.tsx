/// The bake of a coat from the oven's recorder: which oven, how many pads, and its file.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { Page } from '../parts/shell.tsx';
import { Recorder } from '../parts/recorder.tsx';
import { t } from '../words.ts';

export function Bake({ batch, operation }: { batch: string; operation: string }): JSX.Element {
  const [machine, setMachine] = useState('');
  const [pads, setPads] = useState('');
  const whole = /^\d+$/.test(pads.trim());
  const about = machine.trim() && whole ? { batch, operation, machine: machine.trim(), pads: Number(pads.trim()) } : null;
  const title = t('bake.title', { batch, operation });
  return (
    <Page title={title} crumbs={[{ words: t('batches.title'), href: '/batches' }, { words: t('kind.batch'), code: batch, href: `/batches/${encodeURIComponent(batch)}` }, { words: t('bake.crumb', { operation }) }]}>
      <h1 class="say">{title}</h1>
      <div class="form"><div class="fields">
        <div class="field"><label for="bake-oven">{t('bake.oven')}</label><input id="bake-oven" class="code" value={machine} autocomplete="off" onInput={(e) => setMachine(e.currentTarget.value)} /></div>
        <div class="field"><label for="bake-pads">{t('bake.pads')}</label><input id="bake-pads" inputmode="numeric" value={pads} autocomplete="off" aria-invalid={pads !== '' && !whole} onInput={(e) => setPads(e.currentTarget.value)} /></div>
      </div></div>
      {about ? <Recorder act="bake/record" about={about} label={t('bake.record', { batch, operation })} recorded={() => undefined} /> : <p class="notice">{t('bake.first')}</p>}
    </Page>
  );
}
