/// The demo plant served with a clock that the test holds.
import { spawn } from 'node:child_process';
import { renameSync, rmSync, writeFileSync } from 'node:fs';
import { mkdtemp } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { newTab } from './hand.mjs';
import { password, root, run } from './house.mjs';

export async function openPlant(platemark, web_folder) {
  const demo_program = resolve(dirname(platemark), '../../demo/platemark_demo');
  const place = await mkdtemp(join(tmpdir(), 'platemark-stations-'));
  const folder = join(place, 'record');
  const clock = join(place, 'clock.txt');
  const { stdout } = await run('python3', [join(root, 'demo/load.py'), '--server', demo_program, '--folder', folder]);
  let ahead = 0;
  const tick = () => {
    writeFileSync(`${clock}.new`, `${new Date(Date.now() + ahead).toISOString().slice(0, 19)}Z\n`);
    renameSync(`${clock}.new`, clock);
  };
  tick();
  const ticking = setInterval(tick, 250);
  const server = spawn(demo_program, [folder, clock, web_folder ? resolve(web_folder) : '-'], { stdio: ['pipe', 'pipe', 'inherit'] });
  const port = await new Promise((found, lost) => {
    server.stdout.once('data', (text) => found(Number(String(text).trim())));
    server.once('exit', (status) => lost(new Error(`the service ended with ${status}`)));
  });
  const gone = new Promise((done) => server.once('exit', done));
  const stop = async () => {
    clearInterval(ticking);
    server.stdin.end();
    await gone;
  };
  const kill = () => {
    server.kill('SIGKILL');
    rmSync(place, { recursive: true, force: true });
  };
  return { batches: JSON.parse(stdout.trim().split('\n').at(-1)), base: `http://127.0.0.1:${port}`, folder, stop, kill, later: (ms) => { ahead += ms; tick(); }, remove: () => rmSync(place, { recursive: true, force: true }) };
}

export async function signedIn(browser, base, login) {
  const page = await newTab(await browser.createBrowserContext(), base);
  await page.goto(`${base}/help`, { waitUntil: 'domcontentloaded' });
  await page.evaluate((who, secret) => fetch('/api/session', { method: 'POST', headers: { 'X-Platemark': '1' }, body: JSON.stringify({ login: who, password: secret }) }), login, password);
  return page;
}
