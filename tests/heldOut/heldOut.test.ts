/**
 * Trips that the pipeline was not tried on while it was made: a rig written as plain functions of time, the truth counted
 * in millimetres every 0.05 s. The tolerances are those that the program promises: 0.08 m clean, 0.15 m dirty, 0.2 m at
 * a frame in five seconds; connections exact, events within 45 s on the right joint, none on a clean run.
 */
import { describe, expect, it } from 'vitest';
import { analyseTrip } from './analyseTrip.ts';
import { drawn } from './drawnTrip.ts';
import { faultsOf } from './judge.ts';
import { CASES } from './rigCases.ts';
import { build, type Case } from './rigTrip.ts';
import { UNPROVABLE } from './unprovable.ts';

async function faults(one: Case, seed: number): Promise<string[]> {
  const trip = build(one, seed);
  return faultsOf(trip, await analyseTrip(trip));
}

const named = Object.keys(CASES).filter((name) => !UNPROVABLE.named.has(name));
const SEED = 1;
/** The first forty, and those that once found a fault. */
const FIRST = Array.from({ length: 40 }, (_, i) => i + 1);
const DRAWN = [...FIRST, 57, 75, 89, 90, 99, 108, 127, 130, 141, 155, 164, 196, 197, 206, 392, 422];
const DRAWN_WITH_INCIDENTS = [
  ...FIRST,
  ...[52, 72, 88, 89, 98, 108, 136, 138, 139, 141, 159, 164, 165, 196, 197, 206, 246, 275, 348, 386, 392, 552],
];
const NAMED_AGAIN: readonly [string, number][] = [
  ['many nulls', 4],
  ['many nulls', 7],
  ['data gap 60', 12],
  ['everything at once', 3],
  ['shallow, very light', 4],
];

describe('a trip that was not tuned to', () => {
  it.each(named)('%s', async (name) => {
    expect(await faults(CASES[name]!, SEED)).toEqual([]);
  });

  it.each(NAMED_AGAIN)('%s, seed %i', async (name, seed) => {
    expect(await faults(CASES[name]!, seed)).toEqual([]);
  });

  it.each(DRAWN.filter((seed) => !UNPROVABLE.drawn.has(seed)))('drawn at random, seed %i', async (seed) => {
    expect(await faults(drawn(seed, false), seed)).toEqual([]);
  });

  it.each(DRAWN_WITH_INCIDENTS.filter((seed) => !UNPROVABLE.drawnWithIncidents.has(seed)))(
    'drawn at random with incidents, seed %i',
    async (seed) => {
      expect(await faults(drawn(seed, true), seed)).toEqual([]);
    },
  );

  it('is found out when the record is of another trip', async () => {
    const asMeant = build(CASES.plain!, SEED);
    const record = await analyseTrip(build(CASES['low pressure']!, SEED));
    const found = faultsOf(asMeant, record).join('\n');
    expect(found).toMatch(/S5: expanded/);
    expect(found).toMatch(/S5: verdict short, expected expanded/);
    expect(found).toMatch(/false low pressure on S5/);
    const missed = faultsOf(build(CASES['low pressure']!, SEED), await analyseTrip(asMeant)).join('\n');
    expect(missed).toMatch(/no low pressure on S5/);
  });
});
