/// The weigh-up of twelve ingredients, and what becomes of reports that could not be sent.
import assert from 'node:assert/strict';
import { ask, newTab, tell, textOf } from './hand.mjs';
import { password } from './house.mjs';
import { asks, at, clean, enter, picture, says, signInHere, touch } from './station_hands.mjs';

const ten_minutes_ms = 10 * 60_000;

const extra = [['alumina', 'Alumina, fine', '3.95'], ['petcoke', 'Petroleum coke', '1.95'], ['rubber-powder', 'Rubber powder', '1.16'], ['lime', 'Calcium hydroxide', '2.24']];
const formula = [['aramid-pulp', '3.5', 'A-2280'], ['mineral-fibre', '9', 'M-2281'], ['barite', '26', 'B-2282'], ['potassium-titanate', '11', 'P-2283'], ['magnetite', '10', 'M-2284'], ['graphite', '7', 'G-2285'],
  ['phenolic-resin', '8', 'P-2286'], ['friction-dust', '6', 'F-2287'], ['alumina', '2.5', 'N-4410'], ['petcoke', '6', 'C-3075'], ['rubber-powder', '3', 'R-5102'], ['lime', '3', 'L-6001']];

export async function moreIngredients({ quality, lab }) {
  for (const [code, name, density] of extra)
    await tell(quality, 'material/issue', { noun: { code, name, class: 'ingredient', density: `${density} g/cm3`, density_source: 'certificate', shelf_life_days: 365, plan: 'CP-FINE', band: [] }, why: 'first issue' });
  for (const [material, , lot] of formula.slice(8)) {
    await tell(quality, 'lot/receive', { lot, material, supplier: 'Oldmere Minerals', supplier_lot: `OM-${lot}`, quantity: '500 kg' });
    await tell(lab, 'reading/take', { subject: { kind: 'lot', id: lot }, characteristic: 'bag-check', sample: '', gauges: ['SC-4'], numbers: { readings: ['25.06 kg', '25.10 kg', '25.04 kg'] } });
    await tell(lab, 'lot/judge', { lot });
    await tell(quality, 'lot/decide', { lot, disposition: 'clear' });
  }
  await tell(quality, 'compound/issue', { noun: { code: 'plover-12', name: 'Plover 12', formula: formula.map(([material, parts]) => ({ material, parts, tolerance: '0.6 %' })), target_density: '2.20 g/cm3', mix_mass: '95 kg', loss: '2 %', loss_basis: 'pad', mixing_minutes: 9 }, why: 'first issue' });
  const { issues: [part] } = await ask(quality, '/api/nouns/part/MF-1041');
  await tell(quality, 'part/issue', { noun: { ...part.noun, code: 'MF-1212', compound: 'plover-12', markings: [], customers: [] }, why: 'first issue' });
  const until = new Date(Date.now() + 400 * 86_400_000).toISOString().slice(0, 10);
  const made = await quality.evaluate((body) => fetch('/api/people', { method: 'POST', headers: { 'X-Platemark': '1' }, body: JSON.stringify(body) }).then((r) => r.status),
    { name: 'Floor crew, late', login: 'late', password, duty: 'floor crew, late shift', permits: ['goods-in', 'plates', 'mixing', 'pressing', 'oven', 'finishing', 'packing'].map((operation) => ({ operation, until })) });
  assert.ok(made < 300, `a second person was not made: ${made}`);
  for (const machine of ['mixer-2', 'coater-2', 'press-4']) await tell(quality, 'line/clear', { machine, cleaned: 'blown out, flushed', remark: {} });
  return (await tell(quality, 'batch/open', { part: 'MF-1212', plates: 60 })).created.id;
}

export const tool_times = [];
/// One weighing: bag, mass, next line; the clock runs from the first key to the answer.
async function weigh(page, line, { before_mass, taken = 'inside' } = {}) {
  const since = performance.now();
  await asks(page, 'Fetch ');
  await enter(page, line.lot.toLowerCase());
  await asks(page, 'Weigh ');
  await before_mass?.();
  await enter(page, line.mass);
  await says(page, taken, '.st-flash');
  tool_times.push((performance.now() - since) / 1000);
}

async function openMix(page, batch) {
  await asks(page, 'Which machine stands here?');
  await touch(page, 'mixer-2');
  await asks(page, 'Measured with which gauge');
  await touch(page, 'SC-4');
  await asks(page, 'Scan the mix');
  await enter(page, batch);
  await asks(page, 'Fetch ');
  return (await textOf(page, '.st-context')).match(/M-\d+/)[0];
}

const linesOf = async (page, mix) => (await ask(page, `/api/mixes/${mix}`)).lines.map((l, i) => ({ ...l, lot: formula[i][2], mass: l.wanted.replace('\u00a0', ' ') }));
const waiting = (page) => page.evaluate(() => new Promise((done) => {
  const open = indexedDB.open('platemark-stations', 1);
  open.onsuccess = () => { open.result.transaction('reports').objectStore('reports').getAll().onsuccess = (e) => { open.result.close(); done(e.target.result); }; };
}));

async function wrongBag(page, lines) {
  await enter(page, 'N2Y5H-8x');
  await says(page, 'Stop.');
  await enter(page, lines[5].lot);
  await says(page, 'Stop. Wrong bag');
  await says(page, 'Put the bag back. Take Barite.');
  await says(page, 'Nothing was recorded.');
  await clean(page);
  await picture(page, 'weigh-up-stop');
  await enter(page, 'mixer-2');
  await says(page, 'Another kind of code');
  await touch(page, 'Scan again');
  await asks(page, 'Fetch Barite');
}

async function outOfTolerance(page, line) {
  await enter(page, line.lot);
  await asks(page, 'Weigh ');
  await enter(page, '26,9 kg');
  await asks(page, 'Too much by');
  await says(page, 'outside, above');
  await clean(page);
  await picture(page, 'weigh-up-too-much');
  await enter(page, line.mass);
  await says(page, 'inside', '.st-flash');
}

/// The first change types the name; the second takes two touches and a password.
async function changeUsers(page) {
  const touches = async (words) => { await page.waitForSelector('.st'); await touch(page, words); };
  await touches('change');
  await signInHere(page, 'late');
  await says(page, 'late shift', '.st-who');
  await touches('change');
  await asks(page, 'Who works here?');
  await clean(page);
  await picture(page, 'who');
  await touches('floor crew, early shift');
  await enter(page, password);
  await says(page, 'early shift', '.st-who');
  await touches('change');
  await touches('late shift');
  await enter(page, password);
  await says(page, 'late shift', '.st-who');
}

async function withoutNetwork(page, plant, lines) {
  await page.setOfflineMode(true);
  await weigh(page, lines[6], { taken: 'kept, not compared' });
  await says(page, '1 waiting', '.st-net');
  await page.evaluate((ms) => {
    const real = Date.now.bind(Date);
    Date.now = () => real() + ms;
  }, ten_minutes_ms / 2);
  plant.later(ten_minutes_ms / 2);
  await enter(page, lines[0].lot);
  await says(page, 'Stop. Wrong bag');
  await enter(page, 'R-2310');
  await says(page, 'Stop. Wrong bag');
  await enter(page, 'Z-9999');
  await says(page, 'Bag not known here');
  await enter(page, lines[7].lot);
  await says(page, 'not checked', '.st-flash');
  await clean(page);
  await picture(page, 'weigh-up-no-network');
  await enter(page, lines[7].mass);
  await says(page, '2 waiting', '.st-net');
  await touch(page, 'change');
  await says(page, 'nobody can be signed in');
  await touch(page, 'stays');
  await page.evaluate((ms) => {
    const real = Date.now.bind(Date);
    Date.now = () => real() + ms;
  }, ten_minutes_ms / 2);
  plant.later(ten_minutes_ms / 2);
  await weigh(page, lines[8], { taken: 'kept, not compared' });
  assert.deepEqual((await waiting(page)).map((r) => r.input.material), [6, 7, 8].map((i) => lines[i].material));
  await page.setOfflineMode(false);
  await page.waitForFunction(() => !document.querySelector('.st-net button'), { timeout: 10_000 });
  assert.equal((await waiting(page)).length, 0);
}

/// The service records, the answer is lost on the way, the station sends again.
async function lostAnswer(page, line) {
  await page.evaluate(() => {
    const real = globalThis.fetch;
    globalThis.fetch = async (path, init) => {
      const answer = await real(path, init);
      if (!String(path).includes('/api/acts/mix/weigh')) return answer;
      globalThis.fetch = real;
      throw new TypeError('the answer was lost');
    };
  });
  await weigh(page, line, { taken: 'kept, not compared' });
  await page.waitForFunction(() => !document.querySelector('.st-net button'), { timeout: 10_000 });
}

/// The weighing is on record, the sheet after it is lost: the line must not be asked again.
async function lostSheet(page, mix, lines) {
  await page.evaluate((path) => {
    const real = globalThis.fetch;
    let recorded = false;
    globalThis.fetch = async (asked, init) => {
      if (recorded && String(asked) === path) {
        globalThis.fetch = real;
        throw new TypeError('the sheet was lost');
      }
      const answer = await real(asked, init);
      recorded ||= String(asked).includes('/api/acts/mix/weigh');
      return answer;
    };
  }, `/api/mixes/${mix}`);
  await weigh(page, lines[9]);
  await asks(page, `Fetch ${lines[10].name}`);
}

export async function twelve(page, plant, batch) {
  const mix = await openMix(page, batch);
  const lines = await linesOf(page, mix);
  await clean(page);
  await weigh(page, lines[0], { before_mass: async () => { await clean(page); await picture(page, 'weigh-up'); } });
  await weigh(page, lines[1]);
  await wrongBag(page, lines);
  await outOfTolerance(page, lines[2]);
  await weigh(page, lines[3]);
  await changeUsers(page);
  await weigh(page, lines[4]);
  await weigh(page, lines[5]);
  await withoutNetwork(page, plant, lines);
  await lostSheet(page, mix, lines);
  await lostAnswer(page, lines[10]);
  await weigh(page, lines[11]);
  await asks(page, 'Mix for 9 min');
  await enter(page, '9');
  await says(page, `Mix ${mix} is mixed`);
  return mix;
}

/// The record, read through the interface: twelve weighings, in order, by who made them, at the time they were made.
export async function onRecord(page, mix) {
  const sheet = await ask(page, `/api/mixes/${mix}`);
  assert.deepEqual(sheet.lines.map((l) => [l.material, l.word, l.lots.length]), formula.map(([m]) => [m, 'inside', 1]));
  const { rows } = await ask(page, `/api/facts?subject=mix:${mix}`);
  const facts = await Promise.all(rows.filter((r) => r.kind === 'mix.weighed').map((r) => ask(page, `/api/facts/${r.sequence}`)));
  assert.deepEqual(facts.map((f) => f.body.material), formula.map(([m]) => m));
  assert.deepEqual(facts.map((f) => f.body.lot), formula.map(([, , lot]) => lot));
  const duties = facts.map((f) => (/early/.test(f.person.duty) ? 'early' : 'late'));
  assert.deepEqual(duties, [...Array(4).fill('early'), ...Array(8).fill('late')]);
  const apart = facts.map((f) => (Date.parse(`${f.recorded.replace(' ', 'T')}Z`) - Date.parse(`${f.happened.replace(' ', 'T')}Z`)) / 60_000);
  assert.ok(apart[6] > 9 && apart[6] < 12, `the first without network is ${apart[6]} min late`);
  assert.ok(apart[7] > 4 && apart[7] < 7, `the second is ${apart[7]} min late`);
  assert.ok([0, 1, 2, 3, 4, 5, 8, 9, 10, 11].every((i) => apart[i] < 2), `${apart}`);
  assert.equal(rows.filter((r) => r.kind === 'mix.finished').length, 1);
}

/// A lot is held while the station is cut off: its weighing is refused later, shown, and settled by a person.
export async function refusedLater(page, { quality }, batch) {
  await at(page, 'weigh-up');
  await asks(page, 'Scan the mix');
  await enter(page, batch);
  await asks(page, 'Fetch ');
  const mix = (await textOf(page, '.st-context')).match(/M-\d+/)[0];
  const [line] = await linesOf(page, mix);
  await page.setOfflineMode(true);
  const held = await tell(quality, 'hold/place', { subject: { kind: 'lot', id: line.lot }, why: 'a torn bag was found' });
  await enter(page, line.lot);
  await asks(page, 'Weigh ');
  await enter(page, line.mass);
  await says(page, 'kept, not compared', '.st-flash');
  await page.setOfflineMode(false);
  await says(page, '1 refused', '.st-net');
  await touch(page, 'refused: settle');
  await says(page, 'a torn bag was found');
  await clean(page);
  await picture(page, 'refused');
  await page.type('.st-settle input', 'it was in the mixer before the bag was held');
  await touch(page, 'It happened');
  await page.waitForFunction(() => !document.querySelector('.st-net button'));
  const { rows } = await ask(page, `/api/facts?subject=mix:${mix}`);
  const weighed = rows.filter((r) => r.kind === 'mix.weighed');
  assert.equal(weighed.length, 1);
  const fact = await ask(page, `/api/facts/${weighed[0].sequence}`);
  assert.equal(fact.remark.why, 'it was in the mixer before the bag was held');
  assert.equal(fact.remark.irregular.length, 1);
  await tell(quality, 'hold/lift', { subject: { kind: 'lot', id: line.lot }, hold: held.sequences[0], why: 'only the outer bag' });
}

/// The tablet is shut while a report waits; the next one that is opened in its place sends it.
export async function shutMeanwhile(page) {
  const mix = (await textOf(page, '.st-context')).match(/M-\d+/)[0];
  const line = (await linesOf(page, mix))[1];
  await touch(page, 'Back to the work');
  await asks(page, 'Fetch Mineral fibre');
  await page.setOfflineMode(true);
  await enter(page, line.lot);
  await asks(page, 'Weigh ');
  await enter(page, line.mass);
  await says(page, 'kept, not compared', '.st-flash');
  const context = page.browserContext();
  const next = await newTab(context, page.base);
  await page.close();
  await next.setViewport({ width: 1280, height: 800 });
  await at(next, 'weigh-up');
  await next.waitForFunction((of) => fetch(`/api/mixes/${of}`).then((r) => r.json()).then((sheet) => sheet.lines[1].word === 'inside'), { polling: 200 }, mix);
  assert.equal((await waiting(next)).length, 0);
  const { rows } = await ask(next, `/api/facts?subject=mix:${mix}`);
  assert.equal(rows.filter((r) => r.kind === 'mix.weighed').length, 2);
  return next;
}

/// A bag that ends before its line is full: what was weighed is recorded, the rest is asked from the next bag.
async function emptyBag(page, line) {
  await enter(page, line.lot);
  await asks(page, 'Weigh ');
  await enter(page, '10,00 kg');
  await asks(page, 'short: add some');
  await says(page, 'outside, below');
  await touch(page, 'Bag is empty');
  await asks(page, 'Fetch Barite');
  await says(page, '16.000');
}

/// Forty minutes: the session has lapsed too. The report waits for its person, and says why it is late.
export async function longWithoutNetwork(page, plant) {
  await asks(page, 'Scan the mix');
  const [mix] = await page.$$eval('.st-waits li', (all) => all.map((l) => /M-\d+/.exec(l.innerText)?.[0]).filter(Boolean));
  await enter(page, mix);
  await asks(page, 'Fetch Barite');
  const line = (await linesOf(page, mix))[2];
  await emptyBag(page, line);
  await page.setOfflineMode(true);
  await enter(page, line.lot);
  await asks(page, 'Weigh ');
  await enter(page, '16 kg');
  await says(page, 'kept, not compared', '.st-flash');
  plant.later(4 * ten_minutes_ms);
  await page.setOfflineMode(false);
  await signInHere(page, 'late');
  await page.waitForFunction(() => !document.querySelector('.st-net button'));
  const { rows } = await ask(page, `/api/facts?subject=mix:${mix}`);
  const fact = await ask(page, `/api/facts/${rows.at(-1).sequence}`);
  assert.equal(fact.body.material, 'barite');
  const barite = (await ask(page, `/api/mixes/${mix}`)).lines[2];
  assert.deepEqual([barite.word, barite.lots.length], ['inside', 2]);
  assert.match(fact.bytes, /"late_because":"the station had no network"/);
}
