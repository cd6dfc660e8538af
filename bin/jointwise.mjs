#!/usr/bin/env node
import { existsSync } from 'node:fs';

const program = new URL('../dist/jointwise.js', import.meta.url);
if (existsSync(program)) {
  const { main } = await import(program.href);
  await main(process.argv.slice(2));
} else {
  process.stderr.write('dist/jointwise.js: found nothing, expected the built program (npm run build)\n');
  process.exitCode = 1;
}
