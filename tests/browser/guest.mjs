/// Nobody is signed in: every page shows the way in first, then itself.
import assert from 'node:assert/strict';
import { go, newTab, textOf } from './hand.mjs';
import { password } from './house.mjs';

const asked = '/lots/R-2310?from=scan';

async function wayIn(page) {
  for (const path of ['/', '/batches', '/things/plan/CP-1041', '/do/lot/receive', '/facts/1', asked]) {
    await go(page, path);
    assert.ok(await page.$('form #password'), `${path} shows no way to sign in`);
    assert.doesNotMatch(await textOf(page, 'body'), /R-2310|CP-1041/, `${path} shows something of the plant`);
  }
  assert.deepEqual(page.faults, []);
}

async function backWhereTheyWanted(page) {
  await page.type('#login', 'lab');
  await page.type('#password', password);
  await page.keyboard.press('Enter');
  await page.waitForFunction(() => document.querySelector('main h1')?.textContent.includes('R-2310'));
  assert.equal(await page.evaluate(() => location.pathname + location.search), asked);
  await page.waitForFunction(() => document.querySelector('.connection').textContent === '');
}

async function leaves(page) {
  await page.click('.who button');
  await page.waitForSelector('form #password');
  assert.doesNotMatch(await textOf(page, 'body'), /R-2310/);
  const answer = await page.evaluate(async () => (await fetch('/api/session')).json());
  assert.equal(answer.person, null);
  assert.deepEqual(page.faults, []);
}

async function refusedByTheService(base) {
  for (const path of ['/api/today', '/api/events', '/api/facts/1', '/api/acts', '/api/methods']) {
    const answer = await fetch(base + path);
    assert.equal(answer.status, 401, path);
    assert.equal((await answer.json()).code, 'session.none');
  }
  assert.equal((await fetch(`${base}/api/alive`)).status, 204);
}

export async function guest(step, browser, house) {
  const context = await browser.createBrowserContext();
  const page = await newTab(context, house.base);
  await step('a guest is shown the way in on every page', () => wayIn(page));
  await step('after signing in the page that was wanted is there', () => backWhereTheyWanted(page));
  await step('after signing out nothing of the plant is left', () => leaves(page));
  await step('the service answers a guest with 401', () => refusedByTheService(house.base));
  await context.close();
}
