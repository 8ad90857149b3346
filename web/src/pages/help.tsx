import type { JSX } from 'preact';
import { Mark } from '../parts/marks.tsx';
import { Page } from '../parts/shell.tsx';
import { Head } from '../parts/text.tsx';
import { t, type Key } from '../words.ts';

const stands = ['on its way', 'hold', 'released', 'concession', 'rework', 'scrap', 'refused'] as const;
const says = ['inside', 'outside above', 'outside below', 'too close to say', 'not met', 'missing', 'unconfirmed limit', 'no limit on file', 'late', 'due soon', 'overtaken'] as const;
const keys: [Key, Key][] = [
  ['help.key.find', 'help.key.find.more'], ['help.key.scan', 'help.key.scan.more'], ['help.key.enter', 'help.key.enter.more'],
  ['help.key.tab', 'help.key.tab.more'], ['help.key.arrows', 'help.key.arrows.more'],
];

const Words = ({ words }: { words: readonly string[] }): JSX.Element =>
  <dl class="wordlist">{words.map((w) => <div><dt><Mark word={w} large /> {t(`word.${w}` as Key)}</dt><dd>{t(`help.word.${w}` as Key)}</dd></div>)}</dl>;

export function Help(): JSX.Element {
  return (
    <Page title={t('help.title')} crumbs={[{ words: t('help.title') }]} caution>
      <h1 class="say">{t('help.say')}</h1>
      <section aria-labelledby="h-stands"><Head id="h-stands" title={t('help.stands')} /><Words words={stands} /></section>
      <section aria-labelledby="h-says"><Head id="h-says" title={t('help.says')} /><Words words={says} /></section>
      <section aria-labelledby="h-strip"><Head id="h-strip" title={t('help.strip')} /><p class="prose">{t('help.strip.more')}</p></section>
      <section aria-labelledby="h-keys"><Head id="h-keys" title={t('help.keys')} />
        <dl class="members">{keys.map(([key, more]) => <div><dt><kbd>{t(key)}</kbd></dt><dd>{t(more)}</dd></div>)}</dl></section>
      <section aria-labelledby="h-numbers"><Head id="h-numbers" title={t('help.numbers')} /><p class="prose">{t('help.numbers.more')}</p></section>
      <section aria-labelledby="h-refused"><Head id="h-refused" title={t('help.refused')} /><p class="prose">{t('help.refused.more')}</p></section>
      <section aria-labelledby="h-terminal"><Head id="h-terminal" title={t('help.terminal')} /><p class="prose">{t('help.terminal.more')}</p></section>
    </Page>
  );
}
