/// Development only: serves dist/ and the invented plant of fixtures/, so that the pages
/// can be seen and tested without the service. `node tools/fixture-server.mjs [port]`
import { createServer } from 'node:http';
import { existsSync, readFileSync } from 'node:fs';
import { extname, join, normalize } from 'node:path';
import { drawStrips } from './strips.mjs';
import { cureSeries } from './cure-curve.mjs';

const root = new URL('..', import.meta.url).pathname;
const fixture = (name) => drawStrips(JSON.parse(readFileSync(`${root}fixtures/${name}.json`, 'utf8')));
const types = { '.html': 'text/html; charset=utf-8', '.js': 'text/javascript', '.css': 'text/css', '.svg': 'image/svg+xml', '.json': 'application/json' };
const policy = "default-src 'self'; style-src 'self'; script-src 'self'; img-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'self'";

let signed_in = true;
let sequence = 48213;
const recorded = new Map();

const json = (response, body, status = 200) => {
  response.writeHead(status, { 'Content-Type': status < 400 ? 'application/json' : 'application/problem+json', 'Cache-Control': 'no-store' });
  response.end(JSON.stringify(body));
};
const problem = (response, status, code, detail, more = {}) => json(response, { title: detail, status, detail, code, ...more }, status);

function session() {
  const all = fixture('session');
  return signed_in ? all : { ...all, person: null };
}

/// Refusals the pages must show well: a word in the input asks for one.
function refusalFor(input) {
  const text = JSON.stringify(input);
  if (text.includes('refuse-me')) return [422, 'permission.not_given', 'Load N-0416 was not built.', fixture('refusal')];
  if (text.includes('wrong-field')) return [400, 'unit.wrong_kind', '31.5 bar is a pressure; a mass is needed here.', { expected: 'one of: g, kg, t', where: { field: 'quantity' } }];
  return null;
}

function act(response, path, body) {
  if (!signed_in) return problem(response, 401, 'session.none', 'Nobody is signed in.');
  const refusal = refusalFor(body.input);
  if (refusal) return problem(response, ...refusal);
  if (body.password !== undefined && body.password !== 'right') return problem(response, 403, 'password.wrong', 'The password is not right; nothing was signed.', { where: { field: 'password' }, remedy: 'Type it again.' });
  const before = recorded.get(body.token);
  if (before) return json(response, { ...before, repeated: true });
  const done = { sequences: [++sequence], head: 'ab'.repeat(32), recorded: '2026-11-25 07:41:12', repeated: false, words: `Recorded: ${path.replace('/', ' ')}.` };
  recorded.set(body.token, done);
  return json(response, done);
}

function find(response, code) {
  const found = fixture('find')[code];
  if (found) return json(response, found);
  return problem(response, 404, 'code.unknown', `${code} is not on record here.`, { remedy: 'Scan it again; if it stays so, ask who labelled it.' });
}

function evaluate(response, body) {
  const force = body.numbers.force?.[0] ?? '';
  if (force.includes('bar')) return problem(response, 400, 'unit.wrong_kind', `${force} is a pressure; a force is needed here.`, { expected: 'N, kN or kgf', where: { field: 'numbers.force[0]' } });
  return json(response, fixture('evaluation'));
}

const get = {
  '/api/session': (r) => json(r, session()),
  '/api/today': (r) => json(r, fixture('today')),
  '/api/batches': (r) => json(r, fixture('batches')),
  '/api/yield': (r) => json(r, fixture('yield')),
  '/api/lots': (r) => json(r, fixture('lots')),
  '/api/loads': (r) => json(r, fixture('loads')),
  '/api/acts': (r) => json(r, fixture('acts')),
  '/api/nouns': (r) => json(r, fixture('kinds')),
  '/api/methods': (r) => json(r, fixture('methods')),
  '/api/facts': (r) => json(r, fixture('facts')),
};

function byName(response, url) {
  const parts = url.pathname.split('/').slice(2).map(decodeURIComponent);
  if (url.pathname === '/api/find') return find(response, url.searchParams.get('code') ?? '');
  if (parts[2] === 'series') return json(response, cureSeries(url.searchParams));
  const name = parts.join('-').toLowerCase();
  if (existsSync(`${root}fixtures/${name}.json`)) return json(response, fixture(name));
  return problem(response, 404, 'thing.unknown', `${parts.slice(-1)} is not on record.`, { remedy: 'Check the number, or scan it.' });
}

const streams = new Set();
function events(response) {
  response.writeHead(200, { 'Content-Type': 'text/event-stream', 'Cache-Control': 'no-store' });
  response.write(': open\n\n');
  streams.add(response);
  response.on('close', () => streams.delete(response));
}

function change(request, response, url, body) {
  if (request.headers['x-platemark'] !== '1') return problem(response, 403, 'request.foreign', 'The request did not come from the pages.');
  if (url.pathname === '/api/session') {
    if (request.method === 'DELETE') { signed_in = false; response.writeHead(204); return response.end(); }
    if (JSON.parse(body).password !== 'right') return problem(response, 401, 'session.refused', 'Name or password is not right.');
    signed_in = true;
    return json(response, session());
  }
  if (url.pathname.startsWith('/api/acts/')) return act(response, url.pathname.slice('/api/acts/'.length), JSON.parse(body));
  if (url.pathname.endsWith('/evaluate')) return evaluate(response, JSON.parse(body));
  if (url.pathname.endsWith('/import')) return json(response, fixture('import'));
  if (url.pathname === '/api/attachments') return json(response, { hash: 'cd'.repeat(32), size: body.length, name: '' });
  if (url.pathname === '/api/layouts/propose') return json(response, fixture('layout'));
  if (url.pathname === '/api/layouts/preview') return json(response, fixture('layout-preview'));
  return problem(response, 404, 'path.unknown', 'There is no such address.');
}

function file(response, path) {
  const wanted = join(root, 'dist', normalize(path));
  const found = extname(path) && existsSync(wanted) ? wanted : join(root, 'dist', 'index.html');
  if (extname(path) && found !== wanted) { response.writeHead(404); return response.end(); }
  response.writeHead(200, { 'Content-Type': types[extname(found)] ?? 'application/octet-stream', 'Content-Security-Policy': policy, 'X-Content-Type-Options': 'nosniff' });
  response.end(readFileSync(found));
}

export function serve(port) {
  const server = createServer((request, response) => {
    const url = new URL(request.url, 'http://localhost');
    if (request.method !== 'GET') {
      const pieces = [];
      request.on('data', (d) => pieces.push(d)).on('end', () => change(request, response, url, Buffer.concat(pieces).toString()));
    } else if (url.pathname === '/api/events') events(response);
    else if (get[url.pathname]) get[url.pathname](response);
    else if (url.pathname.startsWith('/api/')) byName(response, url);
    else file(response, url.pathname);
  });
  // Tests let a fact happen: server.emit('fact', {sequence, kind, subjects}).
  server.on('fact', (fact) => streams.forEach((s) => s.write(`event: fact\ndata: ${JSON.stringify(fact)}\n\n`)));
  return new Promise((resolve) => server.listen(port, '127.0.0.1', () => resolve(server)));
}

if (import.meta.url === `file://${process.argv[1]}`) {
  const server = await serve(Number(process.argv[2] ?? 8391));
  console.log(`http://127.0.0.1:${server.address().port}/`);
}
