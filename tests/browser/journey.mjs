/// One batch from the lot's arrival to its certificate, by the hands that would do it.
import assert from 'node:assert/strict';
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { ask, doIt, fill, find, go, put, scan, send, tell, textOf } from './hand.mjs';
import { password, root, run } from './house.mjs';

const lot = 'R-2400';
const plates = 120;
export const idAt = (href) => decodeURIComponent(href).split(/[/:]/).at(-1);
export const comma = (number, digits) => number.toFixed(digits).replace('.', ',');

export async function press(page, selector) {
  await page.waitForSelector(selector);
  await page.focus(selector);
  await page.keyboard.press('Enter');
}

/// Types readings into the page for a characteristic; lists grow by their own button.
export async function enter(page, subject, characteristic, sample, { gauge, numbers, choices = {} }) {
  await go(page, `/laboratory/${subject}/${characteristic}${sample ? `?sample=${sample}` : ''}`);
  await page.waitForSelector('form.bench');
  if (gauge && !(await page.$eval(`#gauge-${gauge}`, (e) => e.checked))) {
    await page.focus(`#gauge-${gauge}`);
    await page.keyboard.press('Space');
  }
  for (const [name, texts] of Object.entries(numbers)) {
    for (const [i, text] of texts.entries()) {
      const at = `#f-numbers-${name.replaceAll('_', '-')}-${i}`;
      if (!(await page.$(at))) {
        await page.evaluate((first) => document.querySelector(first).closest('.reading').querySelector(':scope > button').click(), `#f-numbers-${name.replaceAll('_', '-')}-0`);
        await page.waitForSelector(at);
      }
      await page.focus(at);
      await page.keyboard.type(text);
    }
  }
  for (const [name, word] of Object.entries(choices)) {
    await page.evaluate((legend, wanted) => {
      const label = [...document.querySelectorAll(`#${legend} label`)].find((l) => l.textContent === wanted);
      document.getElementById(label.htmlFor).click();
    }, `f-choices-${name.replaceAll('_', '-')}`, word);
  }
  await page.waitForSelector('.bignumber');
  return (await send(page, 'form.bench')).words;
}

async function receive({ floor }) {
  await go(floor, '/lots');
  await press(floor, 'a[href="/do/lot/receive"]');
  await floor.waitForSelector('#f-lot');
  await fill(floor, { lot, material: 'phenolic-resin', supplier: 'Oldmere Resins', supplier_lot: 'OR-131', quantity: '1000 kg', density: '1,27 g/cm3' });
  await send(floor);
  await find(floor, lot.toLowerCase(), `/lots/${lot}`);
  assert.match(await textOf(floor), /On hold/);
}

async function testLot({ lab }) {
  await go(lab, '/laboratory');
  await lab.waitForFunction(() => document.activeElement?.id === 'scan');
  await scan(lab, lot);
  await lab.waitForFunction((id) => location.pathname === `/laboratory/lot/${id}`, {}, lot);
  await lab.waitForSelector('a[href$="/bag-check"]');
  await enter(lab, `lot/${lot}`, 'bag-check', '', { gauge: 'SC-4', numbers: { readings: ['25,06 kg', '25,1 kg', '25.04 kg'] } });
}

async function judgeAt(page, path) {
  await go(page, path);
  await press(page, 'main form .send .btn.do');
  await page.waitForSelector('.outcome b').catch(async () => assert.fail(await textOf(page)));
}

async function choose(page, label) {
  await page.waitForFunction((wanted) => [...document.querySelectorAll('.decide button')].some((b) => b.textContent.toLowerCase().includes(wanted)), {}, label);
  await page.evaluate((wanted) => [...document.querySelectorAll('.decide button')].find((b) => b.textContent.toLowerCase().includes(wanted)).focus(), label);
  await page.keyboard.press('Enter');
  await page.waitForSelector('.sign');
}

async function clearLot({ lab, quality }) {
  await judgeAt(lab, `/judge/lot/lot/${lot}`);
  await find(quality, lot, `/lots/${lot}`);
  await press(quality, 'main a[href^="/judge/lot"]');
  await quality.waitForSelector('.decide button');
  assert.match(await textOf(quality, '.outcome'), /^conforms/i, await textOf(quality));
  await choose(quality, 'clear');
  await send(quality, '.sign');
  await go(quality, `/lots/${lot}`);
  assert.match(await textOf(quality), /Clear/);
}

async function openBatch({ floor }) {
  await go(floor, '/batches');
  await press(floor, 'a[href="/do/batch/open"]');
  await floor.waitForSelector('#f-part');
  await fill(floor, { part: 'MF-1041', plates });
  const { created } = await send(floor);
  return idAt(created);
}

const formula = [['aramid-pulp', 3.5, 'A-2280'], ['mineral-fibre', 9, 'M-2281'], ['barite', 26, 'B-2282'], ['potassium-titanate', 11, 'P-2283'], ['magnetite', 10, 'M-2284'], ['graphite', 7, 'G-2285'], ['phenolic-resin', 8, lot], ['friction-dust', 6, 'F-2287']];

async function mix({ floor }, batch) {
  const { created } = await doIt(floor, 'mix/open', { batch, machine: 'mixer-2' });
  const number = idAt(created);
  const total = formula.reduce((sum, [, parts]) => sum + parts, 0);
  for (const [material, parts, from] of formula) await doIt(floor, 'mix/weigh', { mix: number, material, lot: from, mass: `${comma((112 * parts) / total, 2)} kg`, gauge: 'SC-4' });
  await doIt(floor, 'mix/finish', { mix: number, minutes: '8' });
}

/// What a charge should weigh is asked of the method, as the press crew's page shows it.
async function chargeTarget(page) {
  const parts = ['3.5', '9', '26', '11', '10', '7', '8', '6'];
  const densities = ['1.44', '2.70', '4.45', '3.40', '5.10', '2.25', '1.27', '1.10'].map((d) => `${d} g/cm3`);
  const asked = { numbers: { pad_volume: ['62.4 cm3'], target_density: ['2.24 g/cm3'], loss: ['2 %'], parts, nominal_densities: densities, lot_densities: densities }, choices: { loss_basis: 'pad' } };
  const answer = await page.evaluate(async (body) => (await fetch('/api/methods/forming.charge/evaluate', { method: 'POST', headers: { 'X-Platemark': '1', 'Content-Type': 'application/json' }, body: JSON.stringify(body) })).json(), asked);
  return Number(answer.outputs[0].value);
}

async function form({ floor }, batch) {
  const target = await chargeTarget(floor);
  await doIt(floor, 'press/run', { batch, machine: 'press-4', tool: 'T-1041-B', gauge: 'SC-7', charge_checks: [0.1, -0.2, 0.3].map((d) => `${comma(target + d, 1)} g`), 'counts.good': plates - 3, 'counts.scrap': { 'short charge': '1' } });
  const clamps = [0, 1, 2, 3, 4].map((n) => ({ clamp: `${n + 1}`, batch, pads: n < 2 ? 24 : 23, tier: n < 3 ? 1 : 2, position: (n % 3) + 1 }));
  // The recorder's file below begins when the load went in, and its cure takes just under six hours.
  const at = new Date(Date.now() - 354 * 60_000).toISOString().replace(/\.\d+Z/, 'Z');
  const { created } = await tell(floor, 'load/build', { oven: 'oven-north', clamps, remark: {} }, { at, late_because: 'the tablet had no network' });
  return created.id;
}

export async function cure({ floor }, house, load, oven = 'North') {
  const file = join(house.place, `${oven}-today.csv`);
  await run('python3', [join(root, 'tests/browser/cure_file.py'), file, 'Europe/Berlin', oven]);
  await go(floor, `/loads/${load}`);
  const chooser = await floor.waitForSelector('#recorder-file');
  await chooser.uploadFile(file);
  await floor.waitForSelector('.recorder form .send .btn.do');
  assert.match(await textOf(floor, '.recorder'), new RegExp(`Recorder of oven ${oven}`), 'the saved layout is known again');
  await press(floor, '.recorder form .send .btn.do');
  await floor.waitForSelector('.plots canvas').catch(async () => assert.fail(await textOf(floor)));
}

async function unclampAndSample({ floor, lab }, batch, load) {
  await doIt(floor, 'load/unclamp', { load, batch, 'counts.good': plates - 4, 'counts.scrap': { chipped: '1' } });
  const samples = Object.fromEntries([1, 2, 3, 4, 5, 6].flatMap((n) => [[`samples[${n - 1}].sample`, n], [`samples[${n - 1}].clamp`, ((n - 1) % 5) + 1]]));
  await doIt(lab, 'samples/draw', { batch, ...samples, retained: 'sample 6 in cabinet 2 until 2041' });
}

/// The first pad of each characteristic through its page; the others are alike.
const readings = {
  hardness: { pads: 5, gauge: 'HR-1', numbers: { readings: ['78,5', '79 HRR', '77,5', '78.0', '79,5 HRR'] } },
  density: {
    pads: 3, gauge: 'BA-3', choices: { air_buoyancy: 'no' },
    numbers: { in_air: ['366,06'], in_water: ['275,04 g'], water_temperature: ['22,6 Cel'], plate_mass: ['226,40 g'], plate_density: ['7,85 g/cm3'], u_balance: ['0,006 g'], u_plate_mass: ['0,02 g'], u_plate_density: ['0.005 g/cm3'], u_water_temperature: ['0,2 K'] },
  },
  compressibility: { pads: 5, gauge: 'CO-1', choices: { pressure_basis: 'line' }, numbers: { deflection: ['166,0 um', '153,0', '149,5 um'], machine_deflection: ['31,6', '31,2 um', '31,0'], thickness: ['12,0 mm'] } },
  friction: { pads: 1, gauge: 'FM-1', numbers: { normal: ['0,41', '0,40', '0,41', '0,40'], hot: ['0,38', '0,37', '0,37', '0,37', '0,38', '0,37', '0,36', '0,37', '0,37', '0,38'] } },
  shear: { pads: 5, gauge: 'SH-1', numbers: { force: ['21,3 kN'], bond_area: ['47,2 cm2'], bond_line_share: ['0 %'] } },
};

async function measure({ lab }, batch) {
  const due = await ask(lab, `/api/laboratory/batch/${batch}`);
  assert.ok(Object.keys(readings).every((c) => due.due.some((d) => d.characteristic === c)));
  for (const [characteristic, given] of Object.entries(readings)) {
    await enter(lab, `batch/${batch}`, characteristic, '1', given);
    const facts = await ask(lab, `/api/facts?subject=batch:${batch}`);
    const taken = await ask(lab, `/api/facts/${Math.max(...facts.rows.filter((f) => f.kind === 'reading.taken').map((f) => f.sequence))}`);
    const { numbers, choices, gauges } = taken.body;
    for (let n = 2; n <= given.pads; n += 1) await tell(lab, 'reading/take', { subject: { kind: 'batch', id: batch }, characteristic, sample: String(n), gauges, numbers: asTexts(numbers), choices });
  }
}
const asTexts = (numbers) => Object.fromEntries(Object.entries(numbers).map(([name, list]) => [name, list.map((m) => (m.unit === '1' ? m : `${m.value} ${m.unit}`))]));

export async function release({ quality }, batch, gate) {
  await judgeAt(quality, `/judge/${gate}/batch/${batch}`);
  assert.match(await textOf(quality, '.outcome'), /^\W*conforms/i, await textOf(quality));
  await choose(quality, 'release');
  await put(quality, 'password', 'not the password');
  await press(quality, '.sign .send .btn.do');
  await quality.waitForSelector('.sign .fault');
  await put(quality, 'password', password);
  await press(quality, '.sign .send .btn.do');
  await quality.waitForSelector('.done');
}

async function finish({ floor, lab }, batch) {
  let good = plates - 4 - 6;
  for (const operation of ['grind', 'slot', 'chamfer']) {
    good -= operation === 'grind' ? 1 : 0;
    await doIt(floor, 'batch/finish', { batch, operation, machine: 'grinder-2', 'counts.good': good, ...(operation === 'grind' ? { 'counts.scrap': { 'ground too thin': '1' } } : {}) });
  }
  await enter(lab, `batch/${batch}`, 'thickness', '', { gauge: 'MI-5', numbers: { readings: ['16,40 mm', '16,41 mm', '16.39 mm', '16,42 mm', '16,4 mm', '16,38 mm'] } });
}

const onCertificate = (batch) => [
  new RegExp(`Batch \\(stamp\\)\\s+${batch}`), /Conforms at the final gate/,
  new RegExp(`I release batch ${batch} at`), /the cure gate: it may be/, /the final gate: it may be/, /0001, quality manager/, /[0-9a-f]{32}/,
  /120 min/, /60 to 95 HRR/, /320 N\/cm²/, /16\.50 mm/, /16\.38 mm\s+1\s+inside/, /UN R90/,
];

export async function certificate({ quality }, house, batch, wanted_words) {
  await go(quality, `/do/paper/issue?batch=${batch}&paper=certificate`);
  await quality.waitForSelector('main form');
  await send(quality);
  await go(quality, `/batches/${batch}`);
  const href = await quality.$eval('[aria-labelledby=h-papers] a', (a) => a.getAttribute('href'));
  const bytes = await quality.evaluate(async (at) => [...new Uint8Array(await (await fetch(at)).arrayBuffer())], href);
  const file = join(house.place, 'certificate.pdf');
  await writeFile(file, Buffer.from(bytes));
  const { stdout } = await run('pdftotext', ['-layout', file, '-']);
  for (const wanted of wanted_words) assert.match(stdout, wanted, `${wanted} is not on the certificate`);
}

/// Typing one member must not change the others.
async function issuePlanAgain({ quality }) {
  await go(quality, '/things/plan/CP-1041/issue');
  await quality.waitForSelector('#f-noun-name');
  await put(quality, 'noun.name', 'Control plan of MF-1041, read again');
  await put(quality, 'why', 'yearly review');
  await send(quality);
  const { issues: [second, first] } = await ask(quality, '/api/nouns/plan/CP-1041');
  assert.deepEqual([second.issue, second.noun.name], [2, 'Control plan of MF-1041, read again']);
  assert.deepEqual(second.noun.lines, first.noun.lines);
}

export async function sound(house) {
  await house.stop();
  const { stdout } = await house.verify();
  assert.match(stdout, /^Sound\./);
}

/// Each stage stands on the one before: after a failure the rest would only repeat it.
export async function journey(step, people, house) {
  const made = {};
  const silent = () => assert.deepEqual(Object.values(people).flatMap((page) => page.faults.splice(0)).filter((f) => !f.startsWith('asked:') && !/401|403/.test(f)), []);
  const stages = [
    ['a lot is received by the form and found by scanning it', () => receive(people)],
    ['its readings are entered at the bench, decimal comma and unit', () => testLot(people)],
    ['it is judged, decided and cleared', () => clearLot(people)],
    ['a batch is opened', async () => { made.batch = await openBatch(people); }],
    ['its plates are prepared', () => doIt(people.floor, 'plates/prepare', { batch: made.batch, plate_lot: 'P-0877', adhesive_lot: 'A-0219', machine: 'coater-2', gauge: 'FT-2', film: ['24,1 um', '23,6 um', '25,0 um'], 'counts.good': plates - 2, 'counts.scrap': { bent: '2' } })],
    ['its mix is weighed and finished', () => mix(people, made.batch)],
    ['it is pressed and the load is built', async () => { made.load = await form(people, made.batch); }],
    ['the recorder’s file is read through the load’s page', () => cure(people, house, made.load)],
    ['it is unclamped and sampled', () => unclampAndSample(people, made.batch, made.load)],
    ['the laboratory enters its readings', () => measure(people, made.batch)],
    ['it is judged and released at the cure gate, signed', () => release(people, made.batch, 'cure')],
    ['it is finished and its thickness entered', () => finish(people, made.batch)],
    ['it is judged and released at the final gate, signed', () => release(people, made.batch, 'final')],
    ['the certificate says batch, verdict, signature and limits', () => certificate(people, house, made.batch, onCertificate(made.batch))],
    ['a control plan is issued again through its form', () => issuePlanAgain(people)],
    ['the pages said nothing wrong on the way', silent],
  ];
  await inOrder(step, stages);
  await step('the record is sound', () => sound(house));
}

export async function inOrder(step, stages) {
  for (const [words, work] of stages) {
    const done = await step(words, async () => { await work(); return true; });
    if (!done) break;
  }
}
