/// A person at the keyboard: what hands do on a page, and what eyes then see.
import assert from 'node:assert/strict';

export async function newPerson(browser, base, login, password) {
  const context = await browser.createBrowserContext();
  const page = await newTab(context, base);
  await go(page, '/sign-in');
  await page.type('#login', login);
  await page.type('#password', password);
  await page.keyboard.press('Enter');
  await page.waitForFunction(() => location.pathname === '/');
  await page.waitForSelector('.who button');
  return page;
}

/// A tab that remembers what went wrong on it.
export async function newTab(context, base) {
  const page = await context.newPage();
  page.setDefaultTimeout(20_000);
  page.base = base;
  page.faults = [];
  page.on('console', (m) => { if (m.type() === 'error' && !/status of 4(09|22)/.test(m.text())) page.faults.push(`${m.text()} ${m.location()?.url ?? ''}`); });
  page.on('pageerror', (fault) => page.faults.push(String(fault)));
  page.on('dialog', (dialog) => { page.faults.push(`asked: ${dialog.message()}`); void dialog.accept(); });
  await page.setViewport({ width: 1280, height: 900 });
  return page;
}

export async function go(page, path) {
  await page.goto(page.base + path, { waitUntil: 'domcontentloaded' });
  await page.waitForSelector('main h1');
}

export const textOf = (page, selector = 'main') => page.$eval(selector, (e) => e.innerText);

/// A scanner is a fast keyboard that ends in Enter.
export async function scan(page, code) {
  for (const key of code) await page.keyboard.press(key);
  await page.keyboard.press('Enter');
}

/// F2, the code, Enter; the thing's page opens.
export async function find(page, code, path) {
  await page.keyboard.press('F2');
  await scan(page, code);
  await page.waitForFunction((wanted) => location.pathname === wanted, {}, path).catch(async () => assert.fail(`${code} was not found: ${await textOf(page, 'header')}`));
  await page.waitForFunction((wanted) => document.querySelector('main h1')?.textContent.includes(wanted), {}, decodeURIComponent(path.split('/').at(-1)));
}

const idOf = (path) => `f-${path.replace(/[^A-Za-z0-9]+/g, '-').replace(/-$/, '')}`;
async function pressEnter(page, selector) {
  await page.waitForSelector(selector);
  await page.focus(selector);
  await page.keyboard.press('Enter');
}

/// Presses the list's own "Add" until the control for `path` is there.
async function grow(page, path) {
  const list = path.slice(0, path.lastIndexOf('['));
  for (let tries = 0; tries < 50 && !(await page.$(`#${idOf(path)}`)); tries += 1) {
    const before = await page.$$eval(`#${idOf(list)} > ol > li`, (rows) => rows.length);
    await pressEnter(page, `#${idOf(list)} > button`);
    await page.waitForFunction((at, n) => document.querySelectorAll(at).length > n, {}, `#${idOf(list)} > ol > li`, before);
  }
}

/// Types into the field of a form that `path` names, e.g. "clamps[2].pads".
export async function put(page, path, text) {
  const row = /^(.*\[\d+\])/.exec(path)?.[1];
  if (row && !(await page.$(`#${idOf(path)}`))) await grow(page, row);
  const at = `#${idOf(path)}`;
  await page.waitForSelector(at);
  if (await page.$eval(at, (e) => e.tagName === 'SELECT')) return page.select(at, String(text));
  if (await page.$eval(at, (e) => e.value !== '')) await page.$eval(at, (e) => e.select());
  await page.focus(at);
  await page.keyboard.type(String(text));
}

export async function fill(page, values) {
  for (const [path, given] of Object.entries(values)) {
    if (Array.isArray(given)) for (const [i, text] of given.entries()) await put(page, `${path}[${i}]`, text);
    else if (typeof given === 'object') for (const [name, text] of Object.entries(given)) await putNamed(page, path, name, text);
    else await put(page, path, given);
  }
}

/// A value under a name of its own, such as scrap by reason.
async function putNamed(page, path, name, text) {
  const rows = await page.$$eval(`#${idOf(path)} > ol > li`, (all) => all.length);
  await pressEnter(page, `#${idOf(path)} > button`);
  const name_at = `#${idOf(path)}-name-${rows}`;
  await page.waitForSelector(name_at);
  await page.focus(name_at);
  await page.keyboard.type(name);
  await put(page, `${path}.${name}`, text);
}

/// Sends the form and waits for what becomes of it; a refusal is a failure here.
export async function send(page, form = 'main form') {
  await pressEnter(page, `${form} .send .btn.do`);
  await page.waitForSelector('.done, .fault');
  const fault = await page.$('.fault');
  assert.equal(fault ? await fault.evaluate((e) => e.innerText) : null, null, 'the page refused');
  return page.$eval('.done', (e) => ({ words: e.innerText, created: [...e.querySelectorAll('a')].map((a) => a.getAttribute('href')).find((h) => !h.startsWith('/facts/')) ?? '', seen: e.textContent }));
}

export async function refused(page, form = 'main form') {
  await pressEnter(page, `${form} .send .btn.do`);
  await page.waitForSelector('.fault');
  return textOf(page, '.fault');
}

/// One act through its own form.
export async function doIt(page, path, values) {
  await go(page, `/do/${path}`);
  await page.waitForSelector('main form');
  await fill(page, values);
  return send(page);
}

/// For the many that are alike: the same act, sent from inside the signed-in page.
export async function tell(page, path, input, extra = {}) {
  const answer = await page.evaluate(async (at, body) => {
    const token = [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16)).join('');
    const reply = await fetch(`/api/acts/${at}`, { method: 'POST', headers: { 'X-Platemark': '1', 'Content-Type': 'application/json' }, body: JSON.stringify({ token, ...body }) });
    return { status: reply.status, value: await reply.json() };
  }, path, { input, ...extra });
  assert.ok(answer.status < 300, `${path}: ${JSON.stringify(answer.value)}`);
  return answer.value;
}

export const ask = (page, path) => page.evaluate(async (at) => (await fetch(at)).json(), path);
export const sequence = async (page) => (await ask(page, '/api/session')).plant.record_sequence;
