/// Builds the pages into dist/: hashed names, one index.html, a manifest of what was made.
import { build, context } from 'esbuild';
import { createHash } from 'node:crypto';
import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { basename, dirname, relative, resolve } from 'node:path';
import { gzipSync } from 'node:zlib';

const root = new URL('..', import.meta.url).pathname;
const dist = `${root}dist`;

/// The catalogue of words is one file; whoever imports from it brings only the section it names.
const sections = {
  name: 'sections of the words',
  setup(build) {
    build.onResolve({ filter: /words\/en\.json$/ }, ({ path, importer }) => ({
      path: resolve(dirname(importer), path), namespace: 'words', pluginData: importer.includes('/station/') ? 'stations' : 'pages', suffix: importer.includes('/station/') ? '?stations' : '?pages',
    }));
    build.onLoad({ filter: /.*/, namespace: 'words' }, ({ path, pluginData: section }) => ({
      contents: JSON.stringify({ [section]: JSON.parse(readFileSync(path, 'utf8'))[section] }), loader: 'json', watchFiles: [path],
    }));
  },
};

const options = {
  plugins: [sections],
  absWorkingDir: root,
  entryPoints: { pages: 'src/main.tsx', stream: 'src/stream_worker.ts', style: 'src/style/style.css' },
  outdir: 'dist/assets',
  bundle: true,
  splitting: true,
  format: 'esm',
  target: 'es2022',
  minify: true,
  jsx: 'automatic',
  jsxImportSource: 'preact',
  entryNames: '[name]-[hash]',
  chunkNames: '[name]-[hash]',
  metafile: true,
  legalComments: 'none',
};

/// The worker that keeps the stations' shell stands at the root: what it may keep lies below it.
const shell = { ...options, entryPoints: { shell: 'src/shell_worker.ts' }, outdir: 'dist', entryNames: '[name]', splitting: false, format: 'iife', metafile: false };

const made = (metafile, entry) => Object.entries(metafile.outputs).find(([, o]) => o.entryPoint === entry)[0];

/// Every file but index.html may be kept by browsers for ever: its name carries its content.
function writeMark() {
  const bytes = readFileSync(`${root}src/mark.svg`);
  const path = `dist/assets/mark-${createHash('sha256').update(bytes).digest('hex').slice(0, 8)}.svg`;
  writeFileSync(root + path, bytes);
  return path;
}

function writePages({ metafile }) {
  const script = basename(made(metafile, 'src/main.tsx'));
  const stream = basename(made(metafile, 'src/stream_worker.ts'));
  const style = basename(made(metafile, 'src/style/style.css'));
  const mark = writeMark();
  const page = readFileSync(`${root}src/index.html`, 'utf8').replace('{style}', style).replace('{script}', script).replace('{stream}', stream).replace('{mark}', basename(mark));
  writeFileSync(`${dist}/index.html`, page);
  const files = Object.fromEntries([...Object.keys(metafile.outputs), mark].map((path) => {
    const bytes = readFileSync(root + path);
    return [relative('dist', path), { bytes: bytes.length, gzip: gzipSync(bytes, { level: 9 }).length }];
  }));
  writeFileSync(`${dist}/manifest.json`, `${JSON.stringify({ page: 'index.html', files }, null, 2)}\n`);
  return files;
}

/// What one page loads: budgets are for the wire.
function report(files) {
  const sum = (wanted) => Object.entries(files).filter(([f]) => wanted(basename(f))).reduce((n, [, f]) => n + f.gzip, 0);
  const where_used = /^(cure|floor|heat|load|oven|yield|things|bake|formula|characteristic)-/;  // loaded by the pages that need it
  const form = sum((f) => !where_used.test(f));
  const all = sum(() => true);
  console.log(`form page ${(form / 1000).toFixed(1)} kB gzip (at most 60), with charts, stations and counts ${(all / 1000).toFixed(1)} kB (at most 120)`);
  if (form > 60_000 || all > 120_000) process.exitCode = 1;
}

rmSync(dist, { recursive: true, force: true });
mkdirSync(dist, { recursive: true });
if (process.argv.includes('--watch')) {
  const pages = { name: 'pages', setup: (b) => b.onEnd((r) => { if (r.metafile && !r.errors.length) writePages(r); }) };
  await (await context({ ...options, plugins: [sections, pages] })).watch();
  await (await context(shell)).watch();
} else {
  report(writePages(await build(options)));
  await build(shell);
}
