/**
 * `npm run torture [-- --kills 1000 --service-kills 20 --flips 10000 --cuts 1000 --seeds 10000 --runs 2000 --seed N]`: what
 * the tests do in short, at full length. With `--seed` alone, that one seed of the fault simulation of the store; `--runs` is
 * the one of a whole recorded run. `--service-kills` needs the program to be built: `npm run build`.
 */
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { simulate } from '../keep/faultSimulation.ts';
import { faultRun } from '../recording/faultRun.ts';
import { killTorture } from './killTorture.ts';
import { serveKills } from './serveKills.ts';
import { spoilStore } from './spoilStore.ts';

const recordMain = fileURLToPath(new URL('recordMain.js', import.meta.url));
const text = { type: 'string' } as const;
const counts = { kills: text, 'service-kills': text, flips: text, cuts: text, seeds: text, runs: text };
const { values } = parseArgs({ options: { ...counts, seed: text } });
const asked = Object.keys(values).some((name) => name !== 'seed');
const count = (name: keyof typeof counts, full: number): number =>
  Number(values[name] ?? (asked || values.seed !== undefined ? 0 : full));
const say = (line: string) => process.stdout.write(`${line}\n`);
const seed = Number(values.seed ?? 1);

if (!asked && values.seed !== undefined) {
  const { files, ...told } = await simulate(seed);
  say(`seed ${seed} holds: ${JSON.stringify(told)}; ${files.size} files`);
}
const seeds = count('seeds', 10_000);
for (let n = seed; n < seed + seeds; n++) await simulate(n);
if (seeds > 0) say(`fault simulation: ${seeds} seeds from ${seed} hold`);
const runs = count('runs', 2000);
for (let n = seed; n < seed + runs; n++) {
  const { record, ...told } = await faultRun(n);
  if (runs === 1) say(`seed ${n}: ${JSON.stringify(told)}; ${record.length} characters of record`);
}
if (runs > 0) say(`recorded runs: ${runs} seeds from ${seed} hold`);
const spoiled = { flips: count('flips', 10_000), cuts: count('cuts', 1000) };
if (spoiled.flips + spoiled.cuts > 0) {
  await spoilStore(spoiled, seed);
  say(`store files: ${spoiled.flips} turned bits and ${spoiled.cuts} cuts, all named, nothing false read`);
}
const kills = count('kills', 1000);
if (kills > 0) {
  const { frames, acknowledged, slowestOpenMs } = await killTorture(recordMain, kills, seed);
  say(`kills: ${kills}; ${acknowledged} frames acknowledged, ${frames} kept, none lost, doubled or changed`);
  say(`slowest start to open: ${slowestOpenMs.toFixed(0)} ms`);
}
const serviceKills = count('service-kills', 20);
if (serviceKills > 0) {
  const program = fileURLToPath(new URL('../../bin/jointwise.mjs', import.meta.url));
  const given = { plan: 'replay-data/demo-plan.json', stream: 'replay-data/demo.wits' };
  const { sentAgainBytes, slowestStartMs } = await serveKills({ program, ...given, kills: serviceKills, seed });
  say(`kills of the service: ${serviceKills}; the record is that of one that was not killed`);
  say(`sent again: ${sentAgainBytes} bytes; slowest start: ${slowestStartMs.toFixed(0)} ms`);
}
