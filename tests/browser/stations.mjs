/// The stations of the floor in a real browser: a weigh-up of twelve ingredients with a wrong
/// bag, a change of user, ten minutes without network and a lost answer; nothing lost or doubled.
///     node tests/browser/stations.mjs <platemark> [folder of built pages] [folder for pictures]
import assert from 'node:assert/strict';
import { createRequire } from 'node:module';
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { newTab } from './hand.mjs';
import { run } from './house.mjs';
import { at, picturesInto, signInHere } from './station_hands.mjs';
import { clampAndLoad, goodsIn, handOver, happenedAllTheSame, lapsed, notYet, plates, platesWithoutNetwork, press } from './station_places.mjs';
import { openPlant, signedIn } from './station_plant.mjs';
import { longWithoutNetwork, moreIngredients, onRecord, refusedLater, shutMeanwhile, tool_times, twelve } from './station_weigh.mjs';
import { tally } from './tally.mjs';

const whole_run_ms = 10 * 60_000;
const most_tool_time_s = 8;
const wanted = createRequire(new URL('../../web/package.json', import.meta.url));
const { default: puppeteer } = await import(pathToFileURL(wanted.resolve('puppeteer-core')).href);

const [platemark, web_folder, pictures] = process.argv.slice(2);
if (!platemark) {
  console.error('use: node tests/browser/stations.mjs <platemark> [folder of built pages] [folder for pictures]');
  process.exit(64);
}
picturesInto(pictures);
const { count, step } = tally();

let plant;
let browser;
function giveUp(why) {
  console.log(`BAD  ${why}\n${count.passed} passed, ${count.failed + 1} failed`);
  browser?.process()?.kill('SIGKILL');
  plant?.kill();
  process.exit(1);
}
const deadline = setTimeout(() => giveUp(`the run did not end within ${whole_run_ms / 60_000} minutes`), whole_run_ms);
for (const signal of ['SIGINT', 'SIGTERM']) process.on(signal, () => giveUp(`stopped by ${signal}`));

async function everything() {
  plant = await step('the demo is loaded and served with a clock of ours', () => openPlant(platemark, web_folder));
  browser = plant && await step('the browser opens', () => puppeteer.launch({ executablePath: '/usr/bin/chromium', args: ['--headless', '--no-sandbox', '--disable-gpu'] }));
  if (!browser) return;
  const office = { quality: await signedIn(browser, plant.base, 'quality'), lab: await signedIn(browser, plant.base, 'lab') };
  const batch = await step('twelve ingredients are on record and cleared', () => moreIngredients(office));
  const page = await newTab(await browser.createBrowserContext(), plant.base);
  await page.setViewport({ width: 1280, height: 800 });
  await step('nobody works here before somebody says who', async () => {
    await at(page, 'weigh-up');
    await signInHere(page, 'floor');
  });
  if (!batch || count.failed > 0) return;
  await step('the weigh-up opens', () => at(page, 'weigh-up'));
  const mix = await step('twelve weighed: a wrong bag, a change of user, ten minutes without network, a lost answer', () => twelve(page, plant, batch));
  if (mix) {
    await step('the record holds each weighing once, by whom and when', () => onRecord(page, mix));
    await step(`tool time of a weighing is under ${most_tool_time_s} s`, () => {
      const sorted = [...tool_times].sort((a, b) => a - b);
      console.log(`     ${sorted.length} weighings, median ${sorted[Math.floor(sorted.length / 2)].toFixed(2)} s, longest ${sorted.at(-1).toFixed(2)} s`);
      assert.ok(sorted.at(-1) < most_tool_time_s);
    });
    await step('plate preparation', () => plates(page, batch));
    await step('plate preparation without network', () => platesWithoutNetwork(page, office));
    await step('press', () => press(page, batch));
    await step('clamp and load', () => clampAndLoad(page, batch));
  }
  await step('goods-in', () => goodsIn(page));
  await step('packing, with a session that lapses', () => lapsed(page, plant.batches.clean));
  if (mix) {
    await step('finishing says why not yet', () => notYet(page, 'finishing', batch));
    await step('packing says why not yet', () => notYet(page, 'packing', batch));
    await step('the hand-over names what is open', () => handOver(office.quality, mix, batch));
    await step('what happened all the same is kept with its reason', () => happenedAllTheSame(page, batch));
    await step('a report that is refused later waits for a person', () => refusedLater(page, office, batch));
    const next = await step('a report outlives the tablet that made it', () => shutMeanwhile(page));
    if (next) await step('after forty minutes its person signs in again, and it says why it is late', () => longWithoutNetwork(next, plant));
  }
  await step('the pages said nothing wrong on the way', () => assert.deepEqual(page.faults.filter((f) => !/40[134]|ERR_INTERNET|Failed to fetch/.test(f)), []));
}

try {
  await everything();
} finally {
  await browser?.close().catch(() => undefined);
  await plant?.stop();
  if (plant) await step('the record is sound', async () => assert.match((await run(resolve(platemark), ['--record', plant.folder, 'verify'])).stdout, /^Sound\./));
  plant?.remove();
  clearTimeout(deadline);
}
console.log(`${count.passed} passed, ${count.failed} failed`);
process.exitCode = count.failed === 0 ? 0 : 1;
