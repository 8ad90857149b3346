/// The pages in a real browser, on the loaded demo, against the real service.
///
///     node tests/browser/run.mjs <platemark> [folder of built pages, or -] [clamped|hot]
import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import { resolve } from 'node:path';
import { everyPage } from './every_page.mjs';
import { guest } from './guest.mjs';
import { hotJourney } from './hot_journey.mjs';
import { newPerson } from './hand.mjs';
import { openHouse, password } from './house.mjs';
import { journey } from './journey.mjs';
import { tabs } from './tabs.mjs';
import { tally } from './tally.mjs';

const whole_run_ms = 10 * 60_000;
const chromium = '/usr/bin/chromium';
const wanted = createRequire(new URL('../../web/package.json', import.meta.url));
const { default: puppeteer } = await import(pathToFileURL(wanted.resolve('puppeteer-core')).href);

const [platemark, web_folder, only = ''] = process.argv.slice(2);
if (!platemark) {
  console.error('use: node tests/browser/run.mjs <platemark> [folder of built pages, or -] [clamped|hot]');
  process.exit(64);
}

const { count, step } = tally();
let house;
let browser;
/// Ends at once, with what this run started.
function giveUp(why) {
  console.log(`BAD  ${why}\n${house?.said() ?? ''}`);
  console.log(`${count.passed} passed, ${count.failed + 1} failed`);
  browser?.process()?.kill('SIGKILL');
  house?.kill();
  process.exit(1);
}
const deadline = setTimeout(() => giveUp(`the run did not end within ${whole_run_ms / 60_000} minutes`), whole_run_ms);
for (const signal of ['SIGINT', 'SIGTERM']) process.on(signal, () => giveUp(`stopped by ${signal}`));

const signedIn = async () => ({
  floor: await newPerson(browser, house.base, 'floor', password),
  lab: await newPerson(browser, house.base, 'lab', password),
  quality: await newPerson(browser, house.base, 'quality', password),
});

/// A record of its own, loaded as `more` says, and who works with it.
async function live(more, work) {
  try {
    house = await step('the demo is loaded and served', () => openHouse(resolve(platemark), web_folder && web_folder !== '-' && resolve(web_folder), more));
    const people = house && await step('floor, lab and quality sign in', signedIn);
    if (people) await work(people);
  } finally {
    if (count.failed > 0) console.log(`--- what the server said ---\n${house?.said() ?? 'nothing'}`);
    await house?.stop();
    await house?.remove();
  }
}

try {
  browser = await step('the browser opens', () => puppeteer.launch({ executablePath: chromium, args: ['--headless', '--no-sandbox', '--disable-gpu'] }));
  if (browser && only !== 'hot') {
    await live([], async (people) => {
      await guest(step, browser, house);
      await everyPage(step, people.quality);
      await tabs(step, people);
      await journey(step, people, house);
    });
  }
  // The quarter's documents, without its batches.
  if (browser && only !== 'clamped') await live(['--quarter', '--batches', '0'], (people) => hotJourney(step, people, house));
} finally {
  await browser?.close().catch(() => undefined);
  clearTimeout(deadline);
}
console.log(`${count.passed} passed, ${count.failed} failed`);
process.exitCode = count.failed === 0 ? 0 : 1;
