/**
 * Before all tests: the program and the page must have been built, since the command line tests run what users run.
 * `npm test` builds first; a lone `vitest run` builds here when anything is missing or older than its sources.
 */
import { execFileSync } from 'node:child_process';
import { existsSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));
const SOURCES = { 'dist/jointwise.js': ['src', 'ingest', 'server'], 'dist/web/index.html': ['src', 'web'] };
const CONFIGS = { 'dist/jointwise.js': 'server/vite.config.ts', 'dist/web/index.html': 'web/vite.config.ts' };
type Output = keyof typeof SOURCES;

function newestMs(folder: string): number {
  let newest = 0;
  for (const entry of readdirSync(folder, { recursive: true, withFileTypes: true })) {
    if (entry.isFile()) newest = Math.max(newest, statSync(join(entry.parentPath, entry.name)).mtimeMs);
  }
  return newest;
}

function isCurrent(output: Output): boolean {
  const file = join(root, output);
  if (!existsSync(file)) return false;
  const builtMs = statSync(file).mtimeMs;
  return SOURCES[output].every((folder) => newestMs(join(root, folder)) <= builtMs);
}

export default function build(): void {
  for (const output of ['dist/web/index.html', 'dist/jointwise.js'] as const) {
    if (isCurrent(output)) continue;
    const vite = join(root, 'node_modules/vite/bin/vite.js');
    const args = [vite, 'build', '-c', CONFIGS[output], '--logLevel', 'warn'];
    execFileSync(process.execPath, args, { cwd: root, stdio: 'inherit' });
  }
}
