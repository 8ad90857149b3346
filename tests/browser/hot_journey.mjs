/// The other route: a hot-pressed part with an adhesive, its cleared machines, its set-up gate and
/// its post-cure, from the open batch to the boxes that leave.
import assert from 'node:assert/strict';
import { ask, doIt, fill, go, refused, tell, textOf } from './hand.mjs';
import { certificate, comma, cure, enter, idAt, inOrder, release, sound } from './journey.mjs';

const part = 'MF-2101';
const plates = 120;
const charge_g = 110.7; // its volume 44.11 cm³ at 2.46 g/cm³, and 2 % that the grinder takes
const daily_checks = [['SC-4', '10 kg'], ['SC-7', '200 g'], ['BA-3', '200 g'], ['HR-1', '84,6 {HRR}']];

/// The day's checks of gauges, and lines that ran something else before.
async function beginTheDay({ floor, lab }) {
  for (const [gauge, reading] of daily_checks) await doIt(lab, 'gauge/check', { gauge, readings: [reading] });
  for (const machine of ['coater-2', 'mixer-2', 'press-4', 'grinder-2']) await doIt(floor, 'line/clear', { machine, cleaned: 'blown out, wiped, looked at' });
}

/// A cleared lot of what the part's page names.
async function clearedLot(page, member) {
  const wanted = (await ask(page, `/api/nouns/part/${part}`)).issues[0].noun[member];
  const { name } = await ask(page, `/api/nouns/material/${wanted}`);
  for (let after = ''; after !== undefined;) {
    const { rows, next } = await ask(page, `/api/lots?after=${after}`);
    const lot = rows.find((r) => r.material === name && r.mark === 'clear');
    if (lot) return lot.id;
    after = next;
  }
  return assert.fail(`no cleared lot of ${name}`);
}

async function coat({ floor }, batch) {
  const lots = { plate_lot: await clearedLot(floor, 'plate'), adhesive_lot: await clearedLot(floor, 'adhesive') };
  await doIt(floor, 'plates/prepare', { batch, ...lots, machine: 'coater-2', gauge: 'FT-2', film: ['24,1 um', '23,6 um', '25,0 um'], 'counts.good': plates - 2, 'counts.scrap': { bent: '2' } });
}

async function weighAndMix({ floor }, batch) {
  const mix = idAt((await doIt(floor, 'mix/open', { batch, machine: 'mixer-2' })).created);
  const sheet = await ask(floor, `/api/mixes/${mix}`);
  for (const line of sheet.lines) {
    const lot = sheet.lots.find((l) => l.material === line.material && l.may);
    assert.ok(lot, `no lot of ${line.material} may be used`);
    await tell(floor, 'mix/weigh', { mix, material: line.material, lot: lot.lot, mass: line.wanted, gauge: 'SC-4', remark: {} });
  }
  await doIt(floor, 'mix/finish', { mix, minutes: '8' });
}

/// A press may not run before its first piece has passed; then it may.
async function firstPiece({ floor, lab }, batch, operation, machine, thickness, run) {
  if (run) {
    await go(floor, `/do/${run.act}`);
    await floor.waitForSelector('main form');
    await fill(floor, run.values);
    assert.match(await refused(floor), /first piece|set-up/i);
  }
  const set_up = idAt((await doIt(floor, 'set-up/make', { batch, operation, machine, ...(operation === 'press' ? { tool: 'T-2101-B' } : {}) })).created);
  await tell(lab, 'reading/take', { subject: { kind: 'set-up', id: set_up }, characteristic: `first-${operation}`, sample: '', gauges: ['MI-5'], numbers: { readings: Array(5).fill(thickness) }, remark: {} });
  await doIt(floor, 'set-up/judge', { set_up });
}

async function pressIt(people, batch) {
  const values = { batch, machine: 'press-4', tool: 'T-2101-B', gauge: 'SC-7', charge_checks: [0.1, -0.2, 0.3].map((d) => `${comma(charge_g + d, 1)} g`), 'counts.good': plates - 3, 'counts.scrap': { 'short charge': '1' } };
  await firstPiece(people, batch, 'press', 'press-4', '17,01 mm', { act: 'press/run', values });
  await doIt(people.floor, 'press/run', values);
}

async function intoTheOven({ floor }, batch) {
  const trays = [0, 1, 2, 3, 4].map((n) => ({ clamp: `${n + 1}`, batch, pads: n < 2 ? 24 : 23, tier: 1, position: n + 1 }));
  // The recorder's file begins when the load went in, and its post-cure takes five hours.
  const at = new Date(Date.now() - 300 * 60_000).toISOString().replace(/\.\d+Z/, 'Z');
  return (await tell(floor, 'load/build', { oven: 'oven-south', clamps: trays, remark: {} }, { at, late_because: 'the tablet had no network' })).created.id;
}

async function unloadAndSample({ floor, lab }, batch, load) {
  await doIt(floor, 'load/unclamp', { load, batch, 'counts.good': plates - 4, 'counts.scrap': { chipped: '1' } });
  const samples = Object.fromEntries([1, 2, 3, 4, 5, 6].flatMap((n) => [[`samples[${n - 1}].sample`, n], [`samples[${n - 1}].clamp`, ((n - 1) % 5) + 1]]));
  await doIt(lab, 'samples/draw', { batch, ...samples, retained: 'sample 6 in cabinet 2 until 2041' });
}

/// What the bench owes is on its page; one of each is entered there, its like sent.
async function measure({ lab }, batch) {
  await go(lab, '/laboratory');
  await lab.waitForSelector('.due li');
  assert.match(await textOf(lab), new RegExp(`Batch ${batch}`));
  const again = async (characteristic, gauges, count, numbers, choices = {}) => {
    for (let n = 1; n <= count; n += 1) await tell(lab, 'reading/take', { subject: { kind: 'batch', id: batch }, characteristic, sample: String(n), gauges, numbers, choices, remark: {} });
  };
  await again('hardness', ['HR-1'], 5, { readings: ['88 {HRR}', '88.5 {HRR}', '87 {HRR}', '88 {HRR}', '89 {HRR}'] });
  await again('density', ['BA-3'], 3, { in_air: ['334.91 g'], in_water: ['262.13 g'], water_temperature: ['22.6 Cel'], plate_mass: ['226.40 g'], plate_density: ['7.85 g/cm3'], u_balance: ['0.006 g'], u_plate_mass: ['0.02 g'], u_plate_density: ['0.005 g/cm3'], u_water_temperature: ['0.2 K'] }, { air_buoyancy: 'no' });
  await again('compressibility', ['CO-1'], 5, { deflection: ['150 um', '139 um', '135.5 um'], machine_deflection: ['31.6 um', '31.2 um', '31.0 um'], thickness: ['15.4 mm'] }, { pressure_basis: 'line' });
  await again('friction', ['FM-1'], 1, { normal: Array(4).fill('0.44'), hot: Array(10).fill('0.40') });
  await again('shear', ['SH-1'], 4, { force: ['17.5 kN'], bond_area: ['36.5 cm2'], bond_line_share: ['0 %'] });
  await go(lab, '/laboratory');
  await lab.waitForSelector('.due li');
  assert.match(await lab.$$eval('.due li', (rows, id) => rows.find((r) => r.textContent.includes(id)).textContent, batch), /Shear.*4 of 5/);
  await enter(lab, `batch/${batch}`, 'shear', '5', { gauge: 'SH-1', numbers: { force: ['17,4 kN'], bond_area: ['36,5 cm2'], bond_line_share: ['0 %'] } });
}

async function finish(people, batch) {
  await firstPiece(people, batch, 'grind', 'grinder-2', '15,40 mm');
  let good = plates - 4 - 6;
  for (const operation of ['grind', 'slot', 'chamfer']) {
    good -= operation === 'grind' ? 1 : 0;
    await doIt(people.floor, 'batch/finish', { batch, operation, machine: 'grinder-2', 'counts.good': good, ...(operation === 'grind' ? { 'counts.scrap': { 'ground too thin': '1' } } : {}) });
  }
  await enter(people.lab, `batch/${batch}`, 'thickness', '', { gauge: 'MI-5', numbers: { readings: ['15,40 mm', '15,41 mm', '15.39 mm', '15,42 mm', '15,4 mm', '15,38 mm'] } });
}

async function leave({ floor, quality }, batch) {
  const box = idAt((await doIt(floor, 'box/pack', { batch, pads: 108, sets: 27 })).created);
  const carton = idAt((await doIt(floor, 'carton/pack', { boxes: [box] })).created);
  await doIt(floor, 'shipment/send', { customer: 'Fenwold Fleet', order: '5499', cartons: [carton] });
  await go(quality, `/batches/${batch}`);
  assert.match(await textOf(quality), /Fenwold Fleet/);
}

const onCertificate = (batch) => [new RegExp(`Batch \\(stamp\\)\\s+${batch}`), /Conforms at the final gate/, /Bittern 7/, /70 to 105 HRR/, /350 N\/cm²/, /15\.50 mm/];

export async function hotJourney(step, people, house) {
  const made = {};
  await inOrder(step, [
    ['hot route: the day’s checks, and lines cleared', () => beginTheDay(people)],
    ['hot route: a batch is opened', async () => { made.batch = idAt((await doIt(people.floor, 'batch/open', { part, plates })).created); }],
    ['hot route: plates with adhesive', () => coat(people, made.batch)],
    ['hot route: its mix', () => weighAndMix(people, made.batch)],
    ['hot route: refused before its first piece, pressed after it', () => pressIt(people, made.batch)],
    ['hot route: into the oven on trays, no clamping before', async () => { made.load = await intoTheOven(people, made.batch); }],
    ['hot route: the post-cure is read from the other oven’s recorder', () => cure(people, house, made.load, 'South')],
    ['hot route: unloaded and sampled', () => unloadAndSample(people, made.batch, made.load)],
    ['hot route: the bench’s list shrinks as results come', () => measure(people, made.batch)],
    ['hot route: released at the cure gate', () => release(people, made.batch, 'cure')],
    ['hot route: finished after its first ground piece', () => finish(people, made.batch)],
    ['hot route: released at the final gate', () => release(people, made.batch, 'final')],
    ['hot route: its certificate', () => certificate(people, house, made.batch, onCertificate(made.batch))],
    ['hot route: boxed, in a carton, shipped', () => leave(people, made.batch)],
  ]);
  await step('hot route: the record is sound', () => sound(house));
}
