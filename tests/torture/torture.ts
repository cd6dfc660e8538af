/**
 * `npm run torture [-- --kills 1000 --flips 10000 --cuts 1000 --seeds 10000 --seed N]`: what the tests do in short, at full
 * length. With `--seed` alone, that one seed of the fault simulation.
 */
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { simulate } from '../keep/faultSimulation.ts';
import { killTorture } from './killTorture.ts';
import { spoilStore } from './spoilStore.ts';

const recordMain = fileURLToPath(new URL('recordMain.js', import.meta.url));
const text = { type: 'string' } as const;
const { values } = parseArgs({ options: { kills: text, flips: text, cuts: text, seeds: text, seed: text } });
const asked = Object.keys(values).some((name) => name !== 'seed');
const count = (name: 'kills' | 'flips' | 'cuts' | 'seeds', full: number): number =>
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
