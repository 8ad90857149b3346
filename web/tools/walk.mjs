/// Uses the pages as a person does: keyboard, scanner, a press too many, a lost answer.
import assert from 'node:assert/strict';
import puppeteer from 'puppeteer-core';
import { serve } from './fixture-server.mjs';

const server = await serve(0);
const base = `http://127.0.0.1:${server.address().port}`;
const browser = await puppeteer.launch({ executablePath: '/usr/bin/chromium', args: ['--headless', '--no-sandbox', '--disable-gpu'] });
let failed = 0;

async function step(words, path, walk) {
  const p = await browser.newPage();
  const faults = [];
  p.on('pageerror', (e) => faults.push(String(e)));
  p.on('dialog', (d) => { faults.push(`dialog: ${d.message()}`); void d.accept(); });
  try {
    await p.setViewport({ width: 1280, height: 800 });
    await p.goto(base + path);
    await p.waitForSelector('main h1');
    await walk(p, faults);
    assert.deepEqual(faults, []);
    console.log(`good ${words}`);
  } catch (e) {
    failed += 1;
    console.log(`BAD  ${words}\n     ${String(e.message ?? e).split('\n').slice(0, 4).join('\n     ')}`);
  }
  await p.close({ runBeforeUnload: false });
}

const text = (p, selector) => p.$eval(selector, (e) => e.textContent);
const focused = (p) => p.evaluate(() => document.activeElement?.id ?? '');
async function scan(p, code) {
  for (const key of code) await p.keyboard.press(key);
  await p.keyboard.press('Enter');
}
/// Requests that change something, with what becomes of them.
async function meddle(p, decide) {
  const seen = [];
  await p.setRequestInterception(true);
  p.on('request', (r) => {
    if (r.method() !== 'POST' || !r.url().includes('/api/acts/')) return void r.continue();
    seen.push(JSON.parse(r.postData()));
    const fate = decide(seen.length);
    return fate === 'lose' ? void r.abort() : void setTimeout(() => r.continue(), fate ?? 0);
  });
  return seen;
}
async function fillReceive(p) {
  for (const [id, typed] of Object.entries({ lot: 'R-2311', material: 'phenolic-resin', supplier: 'Supplier A', 'supplier-lot': '9', quantity: '1000 kg' })) await p.type(`#f-${id}`, typed);
}

await step('a scan with no field chosen opens the thing', '/help', async (p) => {
  await p.evaluate(() => document.activeElement?.blur?.());
  await scan(p, 'K7M4J-7');
  await p.waitForFunction(() => location.pathname === '/batches/K7M4J-7');
});

await step('F2 goes to the find field; an unknown code is said and selected', '/', async (p) => {
  await p.keyboard.press('F2');
  assert.equal(await focused(p), 'find');
  await p.keyboard.type('zz-9');
  await p.keyboard.press('Enter');
  await p.waitForSelector('#find-said:not(:empty)');
  assert.match(await text(p, '#find-said'), /ZZ-9 is not on record/);
  assert.equal(await focused(p), 'find');
});

await step('the bench names a wrong kind and keeps the focus', '/laboratory', async (p) => {
  assert.equal(await focused(p), 'scan');
  await scan(p, 'HR-1');
  await p.waitForSelector('#scan-said:not(:empty)');
  assert.match(await text(p, '#scan-said'), /gauge, hardness tester 1/);
  await scan(p, 'K7M4J-7');
  await p.waitForFunction(() => location.pathname === '/laboratory/batch/K7M4J-7');
});

await step('Enter goes on through a form; nothing is sent before the button', '/laboratory/batch/K7M4J-7/shear?sample=4', async (p) => {
  const seen = await meddle(p, () => 0);
  await p.focus('#f-numbers-force-0');
  await p.keyboard.type('27,4');
  await p.keyboard.press('Enter');
  assert.equal(await focused(p), 'f-numbers-area-0');
  await p.keyboard.press('Enter');
  await p.keyboard.type('11,02');
  await p.keyboard.press('Enter');
  assert.equal(await focused(p), 'f-numbers-thickness-1');
  assert.equal(seen.length, 0);
});

await step('readings go out as typed, with unit, gauge and sample', '/laboratory/batch/K7M4J-7/shear?sample=4', async (p) => {
  const seen = await meddle(p, () => 0);
  await p.type('#f-numbers-force-0', '27,4');
  await p.type('#f-numbers-thickness-0', '11,02');
  await p.type('#f-numbers-thickness-1', '11.05 mm');
  await p.click('#f-choices-surface-0');
  await p.click('#gauge-SH-1');
  await p.waitForSelector('.bignumber');
  await p.click('.send .btn.do');
  await p.waitForSelector('.done');
  const { input, token } = seen[0];
  assert.match(token, /^[0-9a-f]{32}$/);
  assert.deepEqual(input.numbers, { force: ['27,4 kN'], thickness: ['11,02 mm', '11.05 mm'] });
  assert.deepEqual(input.gauges, ['SH-1']);
  assert.equal(input.sample, '4');
  assert.deepEqual(input.choices, { surface: 'in the lining' });
});

await step('a double press records once', '/do/lot/receive', async (p) => {
  const seen = await meddle(p, () => 400);
  await fillReceive(p);
  await p.evaluate(() => { const b = document.querySelector('.send .btn.do'); b.click(); b.click(); });
  await p.waitForSelector('.done');
  assert.equal(seen.length, 1);
});

await step('a lost answer is said calmly, the text stays, the same token goes again', '/do/lot/receive', async (p) => {
  const seen = await meddle(p, (n) => (n === 1 ? 'lose' : 0));
  await fillReceive(p);
  await p.click('.send .btn.do');
  await p.waitForSelector('.fault.calm[role=status]');
  assert.equal(await p.$eval('#f-lot', (e) => e.value), 'R-2311');
  await p.click('.send .btn.do');
  await p.waitForSelector('.done');
  assert.equal(seen[0].token, seen[1].token);
});

await step('an empty form leads to its fields', '/do/lot/receive', async (p) => {
  await p.click('.send .btn.do');
  await p.waitForSelector('.fault[role=alert]');
  await p.click('.fault a[href="#f-supplier-lot"]');
  assert.equal(await focused(p), 'f-supplier-lot');
});

await step('a refused field is marked and linked; the text stays', '/do/lot/receive', async (p) => {
  await fillReceive(p);
  await p.type('#f-supplier', ' wrong-field');
  await p.click('.send .btn.do');
  await p.waitForSelector('.fault[role=alert]');
  assert.equal(await p.$eval('#f-quantity', (e) => e.getAttribute('aria-invalid')), 'true');
  await p.click('.fault a');
  assert.equal(await focused(p), 'f-quantity');
  assert.equal(await p.$eval('#f-quantity', (e) => e.value), '1000 kg');
});

await step('a wrong password signs nothing and is asked again', '/judge/cure/batch/K7M4J-7', async (p) => {
  const seen = await meddle(p, () => 0);
  await p.click('.decide .btn');
  await p.waitForSelector('#f-password');
  await p.click('.sign .btn.do');
  await p.waitForSelector('.sign .fault');
  assert.equal(seen.length, 0);
  await p.type('#f-why', 'agreed with the customer');
  await p.type('#f-password', 'wrong');
  await p.click('.sign .btn.do');
  await p.waitForFunction(() => document.querySelector('.sign .fault')?.textContent.includes('nothing was signed'));
  assert.equal(await p.$eval('#f-password', (e) => e.value), '');
  assert.equal(await p.$eval('#f-why', (e) => e.value), 'agreed with the customer');
  await p.type('#f-password', 'right');
  await p.click('.sign .btn.do');
  await p.waitForSelector('.done');
  assert.equal(seen.at(-1).input.why, 'agreed with the customer');
});

await step('signed out in the middle: sign in within the form, the text stays', '/do/lot/receive', async (p) => {
  await fillReceive(p);
  await p.evaluate(() => fetch('/api/session', { method: 'DELETE', headers: { 'X-Platemark': '1' } }));
  await p.click('.send .btn.do');
  await p.waitForSelector('#inline-login');
  await p.type('#inline-login', 'quality');
  await p.type('#inline-password', 'right');
  await p.click('.fault .btn.do');
  await p.waitForFunction(() => document.querySelector('.fault [role=status]'));
  assert.equal(await p.$eval('#f-lot', (e) => e.value), 'R-2311');
  await p.click('.send .btn.do');
  await p.waitForSelector('.done');
});

await step('what is newer is held back while a hand is at work, and shown on asking', '/', async (p) => {
  await p.evaluate(() => { globalThis.realFetch = fetch; globalThis.fetch = async (...a) => { const r = await globalThis.realFetch(...a); if (a[0] !== '/api/today') return r; const t = await r.json(); t.on_hold.reverse(); return new Response(JSON.stringify(t)); }; });
  const first = await text(p, '.today .thing .no');
  await p.mouse.move(300, 300);
  server.emit('fact', { sequence: 48214, kind: 'reading.taken', subjects: [{ kind: 'batch', id: 'K7M4J-7' }] });
  await p.waitForSelector('.moved .btn');
  assert.equal(await text(p, '.today .thing .no'), first);
  await p.click('.moved .btn');
  await p.waitForFunction((was) => document.querySelector('.today .thing .no').textContent !== was, {}, first);
});

await step('the chart reads by keyboard and comes closer', '/loads/N-0412', async (p) => {
  await p.waitForSelector('.plots canvas');
  await p.focus('#read-at');
  const before = await text(p, '.readat output');
  for (let i = 0; i < 5; i++) await p.keyboard.press('ArrowRight');
  assert.notEqual(await text(p, '.readat output'), before);
  const asked = p.waitForRequest((r) => r.url().includes('/series?from='));
  await p.click('.chartkeys .btn');
  await asked;
});

await step('links go without a reload, the title follows, back goes back', '/', async (p) => {
  await p.evaluate(() => { globalThis.still_here = true; });
  await p.click('a[href="/lots"]');
  await p.waitForFunction(() => document.title.startsWith('Lots'));
  assert.ok(await p.evaluate(() => globalThis.still_here));
  await p.goBack();
  await p.waitForFunction(() => document.title.startsWith('Today'));
});

await browser.close();
server.close();
server.closeAllConnections();
process.exitCode = failed ? 1 : 0;
