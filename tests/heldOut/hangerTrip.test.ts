/**
 * Hanger work that the pipeline was not tried on while it was made. Steps are found within 45 s of where they begin, with their
 * numbers within what the readings allow; every fault is raised, nothing else is.
 */
import { describe, expect, it } from 'vitest';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import { playSamples } from '../support/hangerTrips.ts';
import { HANGER_START_MS, type HangerScript, type SampleOptions } from './hangerScript.ts';
import { FAULTS, type Fault, hangerScript, heldOutHangerPlan } from './hangerTrip.ts';

const WITHIN_S = 45;
const seconds = (at: string): number => (Date.parse(at) - HANGER_START_MS) / 1000;

function faultsOf(script: HangerScript, record: RunRecord, coarse = 1): string[] {
  const faults: string[] = [];
  const left = [...(record.steps ?? [])];
  for (const wanted of script.expected) {
    const i = left.findIndex(
      (step) => step.kind === wanted.kind && step.name === wanted.name && step.outcome === wanted.outcome,
    );
    if (i < 0) {
      faults.push(`no ${wanted.kind} ${wanted.name} ${wanted.outcome}`);
      continue;
    }
    const step = left.splice(i, 1)[0]!;
    const at = seconds(step.from);
    // A push and pull is dated from when the force grows beyond the free weights.
    const late = wanted.kind === 'push and pull' ? wanted.toS : wanted.fromS + WITHIN_S;
    if (at < wanted.fromS - WITHIN_S || at > late)
      faults.push(`${wanted.kind} ${wanted.name} at ${at}, expected ${wanted.fromS}`);
    if (step.to === null) faults.push(`${wanted.kind} ${wanted.name} has no end`);
    for (const [name, [value, within]] of Object.entries(wanted.numbers)) {
      const got = step.numbers.find((number) => number.name === name)?.value;
      if (got === undefined || Math.abs(got - value) > within * coarse)
        faults.push(`${wanted.kind} ${wanted.name}: ${name} ${got}, expected ${value.toFixed(2)} ± ${within}`);
    }
  }
  for (const step of left)
    faults.push(`false ${step.kind} ${step.name} ${step.outcome} at ${seconds(step.from)}: ${step.detail}`);
  const events = record.events.map((event) => ({
    detail: event.detail,
    kind: event.kind as string,
    at: seconds(event.to ?? event.from),
  }));
  for (const wanted of script.events) {
    const i = events.findIndex((event) => event.kind === wanted.kind);
    if (i < 0) faults.push(`no ${wanted.kind}`);
    else events.splice(i, 1);
  }
  for (const event of events) faults.push(`false ${event.kind} at ${event.at}: ${event.detail}`);
  return faults;
}

function played(
  seed: number,
  faults: readonly Fault[],
  options: Partial<SampleOptions> = {},
  journal = true,
): string[] {
  const script = hangerScript(seed, faults, journal);
  const plan = heldOutHangerPlan();
  if ((options.everyS ?? 1) > 4) plan.stream = { ...plan.stream!, gapAfter: 15 };
  const { record } = playSamples(plan, script.samples({ seed, ...options }), script.journal);
  // What a frame in five seconds, or a tenth of a metre, can tell.
  return faultsOf(script, record, (options.everyS ?? 1) > 4 || (options.depthStep ?? 0) > 0.05 ? 2.2 : 1);
}

const SEEDS = Array.from({ length: 20 }, (_, i) => i + 1);

describe('hanger work that was not tuned to', () => {
  it.each(SEEDS)('goes well, seed %i', (seed) => {
    expect(played(seed, [])).toEqual([]);
  });

  it.each(FAULTS)('%s', (fault) => {
    for (const seed of [1, 2, 3, 4]) expect(played(seed, [fault])).toEqual([]);
  });

  it('everything that can go wrong', () => {
    expect(played(5, FAULTS)).toEqual([]);
  });

  it.each<[string, Partial<SampleOptions>, boolean]>([
    ['a sample in two seconds', { everyS: 2 }, true],
    ['a sample in about five seconds', { everyS: 5.15 }, true],
    ['depth to a tenth of a metre', { depthStep: 0.1 }, true],
    ['readings that are missing now and then', { nulls: 0.02 }, true],
    ['readings that leap now and then', { spikes: 0.004 }, true],
    ['twice the noise', { noise: 2 }, true],
    ['strokes in place of flow', { flowRead: false }, true],
    ['nobody writes the ball down', {}, false],
  ])('%s', (_, options, journal) => {
    for (const seed of [1, 2, 3]) expect(played(seed, [], options, journal)).toEqual([]);
  });

  it('is found out when the record is of other work', () => {
    const script = hangerScript(1, ['leaky packer', 'sliding hanger']);
    const { record } = playSamples(heldOutHangerPlan(), hangerScript(1).samples({ seed: 1 }), hangerScript(1).journal);
    const found = faultsOf(script, record).join('\n');
    expect(found).toMatch(/no annulus test packer failed/);
    expect(found).toMatch(/no push and pull hanger failed/);
    expect(found).toMatch(/no hanger moved/);
  });
});
