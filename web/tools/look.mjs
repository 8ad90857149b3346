/// Looks at every page as a browser draws it: a picture at 1440 and 360 px, axe-core
/// without violations, nothing wider than the window, nothing refused by the policy.
/// `npm run look -- [folder] [part of an address]`
import { mkdirSync, readFileSync } from 'node:fs';
import puppeteer from 'puppeteer-core';
import { serve } from './fixture-server.mjs';

const root = new URL('..', import.meta.url).pathname;
const axe = readFileSync(`${root}node_modules/axe-core/axe.min.js`, 'utf8');
const [folder = `${root}look`, only = ''] = process.argv.slice(2);

/// Address, name, and what is done before the picture.
const pages = [
  ['/', 'today'], ['/batches', 'batches'], ['/batches/K7M4J-7', 'batch-held'],
  ['/batches/K7M4J-7', 'batch-working', (p) => p.click('tr:nth-child(3) .open')],
  ['/batches/C2R8W-4', 'batch-refused'], ['/yield', 'yield'], ['/yield', 'yield-steps', (p) => p.click('tbody:last-child button')], ['/lots', 'lots'], ['/lots/R-2291', 'lot'], ['/loads', 'loads'],
  ['/loads/N-0412', 'load', (p) => p.waitForSelector('.plots canvas')], ['/loads/N-0415', 'load-bare'], ['/ovens/oven-north', 'oven'], ['/loads/N-0415', 'recorder', readFile], ['/laboratory', 'laboratory', scanWrong],
  ['/laboratory/batch/K7M4J-7', 'bench'], ['/laboratory/batch/K7M4J-7/shear?sample=4', 'entry', typeReadings],
  ['/laboratory/batch/K7M4J-7/shear?sample=2', 'entry-repeat', (p) => p.click('.send .btn.do')],
  ['/judge/cure/batch/K7M4J-7', 'judge'], ['/judge/cure/batch/K7M4J-7', 'sign', (p) => p.click('.decide .btn')],
  ['/adopt/CP-HERON/6/shear', 'adopt'], ['/things', 'things'], ['/things/gauge', 'gauges'], ['/things/gauge/HR-1', 'gauge'],
  ['/characteristics/CP-HERON/hardness', 'characteristic'], ['/things/gauge/HR-1/issue', 'gauge-issue'], ['/things/part/MF-1041', 'part'], ['/formulas/heron-3/1/2', 'formula'], ['/batches/K7M4J-7/bake/coat', 'bake'], ['/things/plan/CP-HERON', 'plan'], ['/things/plan/CP-HERON/issue', 'plan-issue'], ['/things/gauge/import', 'import', importFile],
  ['/stations', 'stations'], ['/stations/press', 'station-press'], ['/shift', 'shift'], ['/do', 'acts'], ['/do/paper/issue?batch=C2R8W-4&paper=certificate', 'paper'], ['/laboratory?subject=batch:K7M4J-7&characteristic=shear', 'entry-by-pin'], ['/do/lot/receive', 'receive', refusedField], ['/do/load/build?load=N-0416&clamps[0].batch=K7M4J-7&clamps[0].clamp=21', 'load-build', refusedWhole],
  ['/facts/48101', 'fact'], ['/facts?subject=batch:K7M4J-7', 'facts'], ['/sign-in', 'sign-in'], ['/help', 'help'], ['/batches/A0A0A-0', 'not-here'], ['/nowhere', 'nowhere'],
];

async function scanWrong(p) {
  await p.type('#scan', 'HR-1');
  await p.keyboard.press('Enter');
  await p.waitForSelector('.stopline:not(:empty)');
}
async function typeReadings(p) {
  await p.type('#f-numbers-force-0', '27,4');
  await p.type('#f-numbers-thickness-0', '11.02');
  await p.type('#f-numbers-thickness-1', '11,05 mm');
  await p.click('#f-choices-surface-1');
  await p.waitForSelector('.bignumber');
  await p.click('.bignumber');
}
async function fill(p, values) {
  for (const [id, text] of Object.entries(values)) await p.type(`#f-${id}`, text);
}
async function refusedField(p) {
  await fill(p, { lot: 'R-2311', material: 'phenolic-resin', supplier: 'wrong-field', 'supplier-lot': '1', quantity: '31,5 bar' });
  await p.click('.send .btn.do');
  await p.waitForSelector('.fault');
}
async function refusedWhole(p) {
  await fill(p, { oven: 'refuse-me', programme: 'P-180', 'clamps-0-pads': '160', 'clamps-0-tier': '1', 'clamps-0-position': '1' });
  await p.click('.send .btn.do');
  await p.waitForSelector('.fault');
}
async function importFile(p) {
  const input = await p.$('#import-file');
  await input.uploadFile(`${root}package.json`);
  await p.waitForSelector('table');
}

async function readFile(p) {
  const input = await p.$('#recorder-file');
  await input.uploadFile(`${root}package.json`);
  await p.waitForSelector('.recorder .skipped');
}

async function settled(p) {
  await p.waitForFunction(() => document.querySelector('main h1, main .fault') !== null, { timeout: 5000 });
  await p.waitForNetworkIdle({ idleTime: 120, timeout: 3000, concurrency: 1 }).catch(() => undefined);
}

async function lookAt(browser, base, [path, name, act], width) {
  const p = await browser.newPage();
  const said = [];
  p.on('console', (m) => { if (['error', 'warn'].includes(m.type()) && !m.text().includes('status of 40') && !m.text().includes('status of 422')) said.push(m.text()); });
  p.on('pageerror', (e) => said.push(String(e)));
  await p.setViewport({ width, height: 900 });
  await p.goto(base + path, { waitUntil: 'domcontentloaded' });
  await settled(p);
  if (act) await act(p);
  await settled(p);
  await p.screenshot({ path: `${folder}/${name}-${width}.png`, fullPage: true });
  const wide = await p.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
  if (wide > 0) said.push(`${wide} px wider than the window`);
  const styled = await p.evaluate(() => [...document.querySelectorAll('[style]')].filter((e) => !e.closest('.uplot')).length);
  if (styled > 0) said.push(`${styled} elements with a style attribute`);
  await p.evaluate(axe);
  const { violations } = await p.evaluate(() => globalThis.axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }));
  for (const v of violations) said.push(`${v.id}: ${v.nodes.slice(0, 3).map((n) => `${n.target.join(' ')} ${n.any[0]?.message ?? n.all[0]?.message ?? ''}`).join(' | ')}`);
  await p.close();
  return said;
}

mkdirSync(folder, { recursive: true });
const server = await serve(0);
const base = `http://127.0.0.1:${server.address().port}`;
const browser = await puppeteer.launch({ executablePath: '/usr/bin/chromium', args: ['--headless', '--no-sandbox', '--disable-gpu'] });
let faults = 0;
for (const page of pages.filter(([, name]) => name.includes(only))) {
  for (const width of [1440, 360]) {
    const said = await lookAt(browser, base, page, width).catch((e) => [String(e)]);
    faults += said.length;
    console.log(`${said.length ? 'BAD ' : 'good'} ${page[1]} ${width}`);
    for (const words of said) console.log(`     ${words.slice(0, 600)}`);
  }
}
await browser.close();
server.close();
server.closeAllConnections();
process.exitCode = faults ? 1 : 0;
