#!/usr/bin/env node
import { existsSync } from 'node:fs';
import * as modules from 'node:module';

const program = new URL('../dist/jointwise.js', import.meta.url);
if (existsSync(program)) {
  // Node 22 and later keep what they have compiled; the one before compiles it at every start.
  modules.enableCompileCache?.();
  const { main } = await import(program.href);
  await main(process.argv.slice(2));
} else {
  process.stderr.write('dist/jointwise.js: found nothing, expected the built program (npm run build)\n');
  process.exitCode = 1;
}
