/// A station that is loaded again while the service is away: it is drawn, knows who works there and
/// says that there is no network; what waits to be sent is still there.
///     node tests/browser/shell.mjs
import assert from 'node:assert/strict';
import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import { serve } from '../../web/tools/fixture-server.mjs';

const wanted = createRequire(new URL('../../web/package.json', import.meta.url));
const { default: puppeteer } = await import(pathToFileURL(wanted.resolve('puppeteer-core')).href);
const server = await serve(0);
const address = `http://127.0.0.1:${server.address().port}/stations/press`;
const browser = await puppeteer.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--headless', '--no-sandbox', '--disable-gpu'] });

const words = (page) => page.evaluate(() => document.body.innerText);
const enter = async (page, text) => {
  await page.type('#st-field', text);
  await page.keyboard.press('Enter');
};
const says = (page, text) => page.waitForFunction((t) => document.body.innerText.includes(t), { timeout: 60_000 }, text);

try {
  const page = await browser.newPage();
  await page.goto(address, { timeout: 60_000 });
  await page.waitForSelector('#st-field', { timeout: 60_000 });
  // Kept is what the station is drawn with; wait until it is.
  await page.waitForFunction(async () => (await (await caches.open('shell')).keys()).some((r) => r.url.includes('/assets/floor-')), { timeout: 60_000, polling: 500 });
  server.closeAllConnections();
  server.close();
  await page.evaluate(() => new Promise((done, failed) => {
    const open = indexedDB.open('platemark-stations', 1);
    open.onsuccess = () => {
      const kept = open.result.transaction('reports', 'readwrite');
      kept.objectStore('reports').add({ token: 't', path: 'press/run', input: {}, at: '2026-11-25T09:00:00Z', words: 'Press: K7M4J-7', person: 7, state: 'waiting', waited: true });
      kept.oncomplete = () => { open.result.close(); done(); };
      kept.onerror = () => failed(kept.error);
    };
  }));
  await page.reload({ timeout: 60_000 });
  await says(page, 'Scan the batch');
  await says(page, 'no network');
  assert.match(await words(page), /Number 7/, 'who works there is known');
  const waiting = await page.evaluate(() => new Promise((done) => {
    const open = indexedDB.open('platemark-stations', 1);
    open.onsuccess = () => { open.result.transaction('reports').objectStore('reports').getAll().onsuccess = (e) => done(e.target.result.map((r) => r.words)); };
  }));
  assert.deepEqual(waiting, ['Press: K7M4J-7']);
  await enter(page, 'K7M4J-7');
  await says(page, 'Which');
  console.log('a station is drawn again without network');
} finally {
  await browser.close();
}
process.exit(0);
