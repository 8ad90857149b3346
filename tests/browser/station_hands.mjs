/// A person at a station: what hands do there, and what eyes and axe-core then see.
import assert from 'node:assert/strict';
import { mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { textOf } from './hand.mjs';
import { password, root } from './house.mjs';

let pictures;
/// Where pictures of the stations go; nowhere when not told.
export const picturesInto = (folder) => { pictures = folder; };

export async function enter(page, text) {
  await page.waitForFunction(() => document.activeElement?.id === 'st-field');
  await page.keyboard.type(text);
  await page.keyboard.press('Enter');
}
export const says = (page, words, selector = '.st') => page.waitForFunction((at, wantedWords) => document.querySelector(at)?.innerText.includes(wantedWords), {}, selector, words)
  .catch(async () => assert.fail(`'${words}' did not come; the page says: ${await textOf(page, '.st')}`));
export const asks = (page, words) => page.waitForFunction((wantedWords) => document.querySelector('h1')?.innerText.includes(wantedWords), {}, words)
  .catch(async () => assert.fail(`'${words}' is not asked; the page says: ${await textOf(page, '.st')}`));
/// A finger moves the focus as a mouse does.
export async function touch(page, words) {
  // A question may stand before what can be chosen has come.
  const button = await page.waitForFunction((wantedWords) => [...document.querySelectorAll('button')].find((b) => b.innerText.includes(wantedWords)), {}, words)
    .catch(async () => assert.fail(`no button '${words}': ${await textOf(page, '.st')}`));
  await button.asElement().click();
}
export async function at(page, place) {
  await page.goto(`${page.base}/stations/${place}`, { waitUntil: 'domcontentloaded' });
  await page.waitForSelector('.st h1');
}
export async function signInHere(page, login) {
  await asks(page, 'Who works here?');
  await enter(page, login);
  await asks(page, `Password of ${login}`);
  await enter(page, password);
  await page.waitForSelector('.st-who');
}

export async function picture(page, name) {
  if (!pictures) return;
  mkdirSync(pictures, { recursive: true });
  await page.screenshot({ path: join(pictures, `station-${name}.png`), clip: { x: 0, y: 0, width: 1280, height: 800, scale: 0.6 } });
}

export const axe = readFileSync(`${root}/web/node_modules/axe-core/axe.min.js`, 'utf8');
export const rules = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
export async function clean(page) {
  await nothingHidden(page);
  await page.evaluate(axe);
  const { violations } = await page.evaluate((tags) => globalThis.axe.run(document, { runOnly: tags, resultTypes: ['violations'] }), rules);
  assert.deepEqual(violations.map((v) => `${v.id}: ${v.nodes.slice(0, 3).map((n) => `${n.target.join(' ')} ${n.any[0]?.message ?? n.all[0]?.message ?? ''}`).join(' | ')}`), []);
  const size = await page.evaluate(() => [document.documentElement.scrollWidth - innerWidth, document.documentElement.scrollHeight - innerHeight]);
  assert.deepEqual(size.map((n) => Math.max(n, 0)), [0, 0], 'the station scrolls');
  const small = await page.$$eval('.st button, .st input, .st a', (all) => all.map((e) => [e.innerText || e.id, e.getBoundingClientRect().height]).filter(([, high]) => high > 0 && high < 48));
  assert.deepEqual(small, [], 'targets under 48 px');
}
/// What hides behind the edge of its own box cannot be read at arm's length.
export async function nothingHidden(page) {
  const hidden = await page.$$eval('.st-work, .st-side, .st-lines', (all) => all.filter((e) => e.scrollHeight > e.clientHeight + 1).map((e) => e.className));
  assert.deepEqual(hidden, [], 'a part of the page is cut off');
}
