/// The demo plant, loaded into a folder of its own and served as people are served.
import { execFile, spawn } from 'node:child_process';
import { existsSync, rmSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { promisify } from 'node:util';

export const run = promisify(execFile);
export const root = resolve(dirname(new URL(import.meta.url).pathname), '../..');
export const password = 'marrowfen works';

const demoOf = (platemark) => resolve(dirname(platemark), '../../demo/platemark_demo');

async function load(platemark, folder, more) {
  const { stdout } = await run('python3', [join(root, 'demo/load.py'), '--server', demoOf(platemark), '--folder', folder, ...more]);
  return JSON.parse(stdout.trim().split('\n').at(-1));
}

/// Resolves with the address on the server's first line.
function firstAddress(server, heard) {
  return new Promise((found, lost) => {
    const look = () => {
      const at = /http:\/\/[\d.]+:\d+/.exec(heard());
      if (at) found(at[0]);
    };
    server.stdout.on('data', look);
    server.on('error', lost);
    server.on('exit', (status) => lost(new Error(`the server ended with ${status}: ${heard()}`)));
  });
}

function ended(server) {
  return server.exitCode !== null || server.signalCode !== null ? Promise.resolve() : new Promise((done) => server.once('exit', done));
}

/// `more`: how the demo is to be loaded, such as `--quarter`.
export async function openHouse(platemark, web_folder, more = []) {
  for (const program of [platemark, demoOf(platemark)]) if (!existsSync(program)) throw new Error(`${program} is not built`);
  const place = await mkdtemp(join(tmpdir(), 'platemark-browser-'));
  const folder = join(place, 'record');
  const batches = await load(platemark, folder, more);
  const server = spawn(platemark, ['--record', folder, 'serve', '--port', '0', ...(web_folder ? ['--web-dir', web_folder] : [])]);
  let said = '';
  for (const stream of [server.stdout, server.stderr]) stream.on('data', (text) => { said += text; });
  const stop = async () => {
    if (server.exitCode === null && server.signalCode === null) server.kill('SIGTERM');
    await ended(server);
  };
  const base = await firstAddress(server, () => said);
  const kill = () => {
    server.kill('SIGKILL');
    rmSync(place, { recursive: true, force: true });
  };
  const verify = () => run(platemark, ['--record', folder, 'verify']);
  return { base, place, batches, said: () => said, kill, stop, verify, remove: () => rm(place, { recursive: true, force: true }) };
}
