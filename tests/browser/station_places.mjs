/// The other stations, each with a wrong code and its report on record.
import assert from 'node:assert/strict';
import { ask, tell, textOf } from './hand.mjs';
import { asks, at, axe, clean, enter, nothingHidden, picture, rules, says, signInHere, touch } from './station_hands.mjs';

export async function goodsIn(page) {
  await at(page, 'goods-in');
  await asks(page, 'Scan the new label');
  await enter(page, 'R-2310');
  await says(page, 'Already on record');
  await enter(page, 'G-2500');
  await asks(page, 'What has come?');
  await clean(page);
  await picture(page, 'goods-in');
  await touch(page, 'Graphite');
  for (const [question, text] of [['From whom?', 'Oldmere Minerals'], ['lot number', 'OM-9001'], ['How much?', '25']]) {
    await asks(page, question);
    await enter(page, text);
  }
  await asks(page, 'Right?');
  await clean(page);
  await picture(page, 'goods-in-right');
  await enter(page, '');
  await says(page, 'Recorded.');
  const lot = await ask(page, '/api/lots/G-2500');
  assert.equal(lot.quantity.replace(/\s/g, ' '), '25 kg');
}

export async function plates(page, batch) {
  await at(page, 'plates');
  await enter(page, batch);
  await asks(page, 'Which machine');
  await touch(page, 'coater-2');
  await asks(page, 'Measured with which gauge');
  await touch(page, 'FT-2');
  await asks(page, 'Scan the plates');
  await enter(page, 'A-0219');
  await says(page, 'Not yet allowed');
  await enter(page, 'P-0877');
  await asks(page, 'Scan the adhesive');
  await enter(page, 'A-0219');
  await asks(page, 'Film readings');
  for (const film of ['24,1', '23.6 um', '']) await enter(page, film);
  await clean(page);
  await picture(page, 'plates');
  await asks(page, 'How many are good?');
  await enter(page, '58');
  for (const scrap of ['2 bent', '']) await enter(page, scrap);
  await asks(page, 'Right?');
  await enter(page, '');
  await says(page, 'Recorded.');
}

export async function press(page, batch) {
  await at(page, 'press');
  await asks(page, 'Scan the batch');
  await clean(page);
  await enter(page, batch);
  await asks(page, 'Which machine');
  await touch(page, 'press-4');
  await touch(page, 'SC-7').catch(() => undefined);
  await asks(page, 'Which tool');
  await enter(page, 'T-1212-A');
  await asks(page, 'Which cavities');
  await enter(page, '');
  await asks(page, 'Weigh some charges');
  await enter(page, '139,8');
  await enter(page, '140.1 g');
  await picture(page, 'press');
  await enter(page, '');
  await asks(page, 'How many strokes');
  await enter(page, '');
  await enter(page, '57');
  for (const scrap of ['1 short charge', '']) await enter(page, scrap);
  await asks(page, 'Right?');
  await enter(page, '');
  await says(page, 'Recorded.');
}

export async function clampAndLoad(page, batch) {
  await at(page, 'clamp');
  await asks(page, 'Which oven');
  await touch(page, 'oven-north');
  for (const [clamp, pads, where] of [['1', '29', '1/1'], ['2', '28', '1/2']]) {
    await asks(page, 'Scan a clamp');
    await enter(page, clamp);
    await asks(page, 'Scan the batch');
    if (clamp === '1') {
      await enter(page, 'P-2286');
      await says(page, 'Another kind of code');
      await says(page, 'phenolic-resin');
    }
    await enter(page, batch);
    await enter(page, pads);
    await asks(page, 'Where does it stand?');
    if (clamp === '2') {
      await clean(page);
      await picture(page, 'clamp');
    }
    await enter(page, where);
  }
  await asks(page, 'Scan a clamp');
  await enter(page, '');
  await asks(page, 'Right?');
  await enter(page, '');
  await says(page, 'Write on it:');
  const load = await textOf(page, '.st-created b');
  assert.match(load, /^N-\d{4}$/);
  const page_of_load = await ask(page, `/api/loads/${load}`);
  assert.deepEqual(page_of_load.clamps.map((c) => [c.clamp, c.tier, c.position]), [['1', 1, 1], ['2', 1, 2]]);
}

/// Plates are prepared while the network is away: what cannot be checked is said, and checked when it is sent.
export async function platesWithoutNetwork(page, { quality }) {
  const batch = (await tell(quality, 'batch/open', { part: 'MF-1212', plates: 20 })).created.id;
  await at(page, 'plates');
  await asks(page, 'Scan the batch');
  await page.setOfflineMode(true);
  for (const [question, texts] of [['Scan the batch', [batch]], ['Scan the plates', ['P-0877']], ['Scan the adhesive', ['A-0219']], ['Film readings', ['24 um', '']], ['How many are good?', ['20']], ['Any scrap?', ['']]]) {
    await asks(page, question);
    for (const text of texts) await enter(page, text);
    if (question === 'Scan the plates') await says(page, 'not checked', '.st-flash');
  }
  await asks(page, 'Right?');
  await enter(page, '');
  await says(page, 'Kept in this station.');
  await page.setOfflineMode(false);
  await page.waitForFunction(() => !document.querySelector('.st-net button'));
  const { rows } = await ask(page, `/api/facts?subject=batch:${batch}`);
  assert.equal(rows.filter((f) => f.kind === 'plates.prepared').length, 1);
}

export async function notYet(page, place, batch) {
  await at(page, place);
  await page.waitForSelector('.st h1');
  if (place === 'finishing') await touch(page, 'grinder-2').catch(() => undefined);
  await asks(page, 'Scan the batch');
  await clean(page);
  await picture(page, place);
  await enter(page, batch);
  await says(page, 'Not yet allowed');
  await says(page, 'the cure gate has not been judged');
  await clean(page);
  await picture(page, `${place}-not-yet`);
  await nothingHidden(page);
  // Another scan is another try, never a reason.
  await enter(page, 'P-2286');
  await says(page, 'Another kind of code');
}

/// It has happened although it was not permitted: it is recorded with its reason, and the batch is held.
export async function happenedAllTheSame(page, batch) {
  await at(page, 'finishing');
  await asks(page, 'Scan the batch');
  await enter(page, batch);
  await says(page, 'Not yet allowed');
  await touch(page, 'It has happened: say why');
  await asks(page, 'Why was it done?');
  await enter(page, 'ground before anybody looked');
  await asks(page, 'Which machine');
  await touch(page, 'grinder-2');
  await asks(page, 'What was done?');
  await touch(page, 'grind');
  await asks(page, 'How many are good?');
  await enter(page, '57');
  await enter(page, '');
  await asks(page, 'Right?');
  await says(page, 'Will be kept as not permitted');
  await enter(page, '');
  await says(page, 'Recorded.');
  const { rows } = await ask(page, `/api/facts?subject=batch:${batch}`);
  const fact = await ask(page, `/api/facts/${rows.findLast((f) => f.kind === 'batch.finished').sequence}`);
  assert.equal(fact.remark.why, 'ground before anybody looked');
  assert.ok(rows.some((f) => f.kind === 'hold.placed'));
}

/// The session lapses while pads are counted: the report waits for its person and is not entered again.
export async function lapsed(page, clean_batch) {
  await at(page, 'packing');
  await asks(page, 'Scan the batch');
  await says(page, clean_batch, '.st-waits');
  await enter(page, clean_batch);
  await enter(page, '40');
  await asks(page, 'How many sets');
  await enter(page, '10');
  await asks(page, 'Right?');
  const before = (await ask(page, `/api/facts?subject=batch:${clean_batch}`)).rows.filter((f) => f.kind === 'box.packed').length;
  await page.evaluate(() => fetch('/api/session', { method: 'DELETE', headers: { 'X-Platemark': '1' } }));
  await enter(page, '');
  await signInHere(page, 'late');
  await page.waitForFunction(() => !document.querySelector('.st-net button'));
  const after = (await ask(page, `/api/facts?subject=batch:${clean_batch}`)).rows.filter((f) => f.kind === 'box.packed').length;
  assert.equal(after - before, 1);
}

export async function handOver(page, mix, batch) {
  await page.goto(`${page.base}/shift`, { waitUntil: 'domcontentloaded' });
  await page.waitForSelector('main table');
  const words = await textOf(page);
  for (const seen of [batch, 'In the oven', 'Loads in ovens', 'R-2310', 'Mixes open']) assert.ok(words.toLowerCase().includes(seen.toLowerCase()), `${seen} is not handed over`);
  assert.equal(await page.$$eval('main input', (all) => all.length), 0, 'something is typed');
  await page.evaluate(axe);
  const { violations } = await page.evaluate((tags) => globalThis.axe.run(document, { runOnly: tags, resultTypes: ['violations'] }), rules);
  assert.deepEqual(violations.map((v) => v.id), []);
  await picture(page, 'hand-over');
}
