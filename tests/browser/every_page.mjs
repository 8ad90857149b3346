/// Every page of the loaded demo: axe-core finds nothing, the console stays silent,
/// nothing is wider than the window.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { ask, newTab } from './hand.mjs';
import { root } from './house.mjs';

const rules = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

async function addresses(page) {
  const rows = async (what) => (await ask(page, `/api/${what}`)).rows;
  const [batches, loads, kinds] = [await rows('batches'), await rows('loads'), await ask(page, '/api/nouns')];
  const held = batches.find((b) => b.mark === 'hold') ?? batches[0];
  const facts = (await ask(page, `/api/facts?subject=batch:${held.id}`)).rows;
  const kindsOfFact = [...new Map(facts.map((f) => [f.kind, f.sequence])).values()];
  return [
    '/', '/batches', ...batches.map((b) => `/batches/${b.id}`), '/lots', '/lots/G-2285', '/lots/F-2287', '/lots/R-2310',
    '/loads', ...loads.map((l) => `/loads/${l.id}`), '/laboratory', `/laboratory/batch/${held.id}`, `/laboratory/batch/${held.id}/shear?sample=5`, '/laboratory/lot/R-2310',
    ...batches.map((b) => `/judge/cure/batch/${b.id}`), `/judge/final/batch/${batches.at(-1).id}`, '/judge/lot/lot/R-2310', '/adopt/CP-1041/1/shear',
    '/things', ...kinds.map((k) => `/things/${k.kind}`), '/things/plan/CP-1041', '/things/plan/CP-1041/issue', '/things/gauge/HR-1', '/things/gauge/HR-2', '/characteristics/CP-1041/hardness', '/things/part/MF-1041', '/things/machine/press-4', '/stations/unclamp', '/stations/ship', '/things/gauge/new', '/things/gauge/import',
    '/stations', '/shift', '/do', '/do/lot/receive', '/do/load/build', `/do/mix/weigh`, `/facts?subject=batch:${held.id}`, ...kindsOfFact.map((n) => `/facts/${n}`), '/sign-in', '/help',
  ];
}

async function settled(page) {
  await page.waitForFunction(() => document.querySelector('main h1, main .fault') !== null);
  await page.waitForNetworkIdle({ idleTime: 60, timeout: 3000, concurrency: 1 }).catch(() => undefined);
}

const placeOf = (node) => `${node.target.join(' ')} ${node.any[0]?.message ?? node.all[0]?.message ?? node.none[0]?.message ?? ''}`;

async function lookAt(page, axe, path) {
  page.faults.length = 0;
  await page.goto(page.base + path, { waitUntil: 'domcontentloaded' });
  await settled(page);
  assert.equal(await page.$('main .fault'), null, `${path} shows a fault`);
  for (const [start, selector] of Object.entries(drawn)) if (path.startsWith(start)) assert.ok(await page.$(selector), `${path} draws no ${selector}`);
  await page.evaluate(axe);
  const { violations } = await page.evaluate((tags) => globalThis.axe.run(document, { runOnly: tags, resultTypes: ['violations'] }), rules);
  const said = violations.map((v) => `${v.id}: ${v.nodes.slice(0, 3).map(placeOf).join(' | ')}`);
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  if (wide > 0) said.push(`${wide} px wider than the window`);
  const tall = await page.$$eval('td, th', (cells) => cells.filter((c) => innerWidth > 1000 && c.getBoundingClientRect().height > innerHeight / 2).map((c) => c.innerText.slice(0, 40)));
  if (tall.length > 0) said.push(`cells taller than half the window: ${tall.slice(0, 3).join(' | ')}`);
  assert.deepEqual([...said, ...page.faults], []);
}

/// What a page is for must be drawn, not only be without fault.
const drawn = { '/lots/G-2285': '.sieve svg', '/lots/F-2287': '.sieve svg', '/loads/N-0001': '.plots canvas', '/batches/': '.thread .row', '/judge/cure/': '.find-t .lies svg', '/characteristics/': '.fig svg' };

export async function everyPage(step, person) {
  const axe = readFileSync(`${root}/web/node_modules/axe-core/axe.min.js`, 'utf8');
  const page = await newTab(person.browserContext(), person.base);
  const all = await addresses(person);
  await page.setViewport({ width: 1440, height: 900 });
  for (const path of all) await step(`${path} at 1440 px`, () => lookAt(page, axe, path));
  const narrow = ['/', all.find((p) => p.startsWith('/batches/')), '/lots/G-2285', all.find((p) => p.startsWith('/loads/')), all.find((p) => p.startsWith('/judge/cure'))];
  await page.setViewport({ width: 360, height: 800 });
  for (const path of narrow) await step(`${path} at 360 px`, () => lookAt(page, axe, path));
  await page.close();
}
