/// Runs tests/*.test.ts: bundled for node, then node's own runner.
import { build } from 'esbuild';
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';

const root = new URL('..', import.meta.url).pathname;
const tests = readdirSync(`${root}tests`).filter((f) => f.endsWith('.test.ts'));
const out = mkdtempSync(join(root, 'node_modules', '.tests-'));
try {
  await build({
    absWorkingDir: root, entryPoints: tests.map((f) => `tests/${f}`), outdir: out, bundle: true,
    platform: 'node', format: 'esm', outExtension: { '.js': '.mjs' }, logLevel: 'warning',
    jsx: 'automatic', jsxImportSource: 'preact', define: { 'import.meta.root': JSON.stringify(root) },
  });
  const files = tests.map((f) => join(out, f.replace(/\.ts$/, '.mjs')));
  process.exitCode = spawnSync(process.execPath, ['--test', ...files], { stdio: 'inherit' }).status ?? 1;
} finally {
  rmSync(out, { recursive: true, force: true });
}
