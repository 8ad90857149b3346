/// Several tabs, a press too many, a lot nobody cleared.
import assert from 'node:assert/strict';
import { ask, doIt, fill, go, newTab, refused, sequence, tell, textOf } from './hand.mjs';

const many = 8;
const heard_within_ms = 3000;
const settle_ms = 500;

async function eightTabs({ quality }) {
  const tabs = [];
  for (let n = 0; n < many; n += 1) tabs.push(await newTab(quality.browserContext(), quality.base));
  await Promise.all(tabs.map((tab) => go(tab, '/batches')));
  await go(tabs[0], '/lots');
  assert.deepEqual(tabs.flatMap((tab) => tab.faults), []);
  await Promise.all(tabs.map((tab) => tab.close()));
}

/// Recorded by one person, seen by another without a hand on the page.
async function heardByItself({ lab, quality }) {
  await go(quality, '/lots/R-2310');
  assert.equal(await quality.$('.holdline'), null);
  const placed = await tell(lab, 'hold/place', { subject: { kind: 'lot', id: 'R-2310' }, why: 'the bags came in wet' });
  await quality.waitForFunction(() => document.querySelector('.holdline')?.textContent.includes('the bags came in wet'), { timeout: heard_within_ms });
  return placed.sequences[0];
}

async function liftedHold({ quality }, hold) {
  await tell(quality, 'hold/lift', { subject: { kind: 'lot', id: 'R-2310' }, hold, why: 'dried and looked at' });
  await quality.waitForFunction(() => !document.querySelector('.holdline'), { timeout: heard_within_ms });
}

async function twoTabs({ floor }) {
  const listening = await newTab(floor.browserContext(), floor.base);
  await go(listening, '/lots');
  await doIt(floor, 'lot/receive', { lot: 'G-2399', material: 'graphite', supplier: 'Oldmere Minerals', supplier_lot: 'OM-9', quantity: '500 kg' });
  await listening.waitForFunction(() => document.querySelector('main').innerText.includes('G-2399'), { timeout: heard_within_ms });
  await listening.close();
}

async function pressTwice(page, path, values) {
  await go(page, `/do/${path}`);
  await page.waitForSelector('main form');
  await fill(page, values);
  const before = await sequence(page);
  await page.evaluate(() => {
    const button = document.querySelector('.send .btn.do');
    button.click();
    button.click();
  });
  await page.waitForSelector('.done');
  await new Promise((later) => setTimeout(later, settle_ms));
  return (await sequence(page)) - before;
}

async function sameTokenTwice(page) {
  const once = (token) => page.evaluate(async (t) => (await fetch('/api/acts/lot/receive', {
    method: 'POST', headers: { 'X-Platemark': '1', 'Content-Type': 'application/json' },
    body: JSON.stringify({ token: t, input: { lot: 'G-2397', material: 'graphite', supplier: 'Oldmere Minerals', supplier_lot: 'OM-11', quantity: '5 kg' } }),
  })).json(), token);
  const [first, second] = [await once('same-token-twice'), await once('same-token-twice')];
  assert.deepEqual([second.repeated, second.sequences], [true, first.sequences]);
}

/// The crew reaches for a lot that the laboratory has not seen yet.
async function unclearedLot({ floor }) {
  const batch = (await tell(floor, 'batch/open', { part: 'MF-1041', plates: 50 })).created.id;
  const mix = (await tell(floor, 'mix/open', { batch, machine: 'mixer-2' })).created.id;
  await go(floor, '/do/mix/weigh');
  await floor.waitForSelector('main form');
  await fill(floor, { mix, material: 'phenolic-resin', lot: 'R-2310', mass: '11,28 kg', gauge: 'SC-4' });
  const before = await sequence(floor);
  const words = await refused(floor);
  assert.match(words, /Not recorded: something stands in the way/);
  assert.match(words, /R-2310/);
  assert.match(words, /laboratory|quality/i, `it is not said who can help: ${words}`);
  assert.equal(await sequence(floor), before, 'something was recorded');
  assert.equal(await floor.$eval('#f-mass', (e) => e.value), '11,28 kg', 'what was typed is gone');
  const facts = await ask(floor, `/api/facts?subject=mix:${mix}`);
  assert.ok(facts.rows.every((f) => f.kind !== 'mix.weighed'));
}

export async function tabs(step, people) {
  await step('eight tabs at once still load', () => eightTabs(people));
  const hold = await step('a fact recorded by one person appears on the page of another', () => heardByItself(people));
  await step('a lifted hold goes from the page', () => liftedHold(people, hold));
  await step('a fact recorded in one tab appears in the other', () => twoTabs(people));
  await step('a double press records once', async () => assert.equal(await pressTwice(people.floor, 'lot/receive',
    { lot: 'G-2398', material: 'graphite', supplier: 'Oldmere Minerals', supplier_lot: 'OM-10', quantity: '500 kg' }), 1));
  await step('the same token sent twice records once', () => sameTokenTwice(people.floor));
  await step('a weighing from a lot that is not clear is refused, with what is missing', () => unclearedLot(people));
}
