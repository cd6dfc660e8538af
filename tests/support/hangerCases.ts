/** Short pieces of hanger work, written as scripts, for the tests of its parts. */
import type { Plan } from '../../src/plan/planSchema.ts';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import { HangerScript, type SampleOptions } from '../heldOut/hangerScript.ts';
import { heldOutHangerPlan } from '../heldOut/hangerTrip.ts';
import { playSamples } from './hangerTrips.ts';

export const REST_KN = 720;

/** The string at rest with its end at 2,410 m, after its weights (775 up, 680 down) and some circulation. */
export function atDepth(): HangerScript {
  const script = new HangerScript({ depth: 2410, spp: 0, annulus: 0, flow: 0, rpm: 0, hook: REST_KN });
  script.go(20).go(6, { hook: 775, depth: 2409.9 }).go(50, { depth: 2406 }).go(4, { hook: REST_KN }).go(20);
  script.go(6, { hook: 680, depth: 2406.1 }).go(50, { depth: 2410 }).go(4, { hook: REST_KN }).go(20);
  return script.go(15, { flow: 300, spp: 1100 }).go(40).go(10, { flow: 0, spp: 0 }).go(20);
}

/** A closed string pumped up to a pressure, pumps stopped. */
export function pumpTo(script: HangerScript, kpa: number, kpaPerS = 140): HangerScript {
  return script
    .go(5, { flow: 90 })
    .go(Math.abs(kpa - script.now.spp) / kpaPerS, { spp: kpa })
    .go(3, { flow: 0 });
}

/** A hanger that is set: the first step held. */
export function set(): HangerScript {
  return pumpTo(atDepth(), 9050).go(200).go(30, { spp: 0 }).go(20);
}

export interface PlayedCase {
  readonly record: RunRecord;
  /** `kind name: outcome`, in order. */
  readonly steps: string[];
  readonly details: string[];
  readonly events: string[];
}

export type Step = NonNullable<RunRecord['steps']>[number];
export const numbersOf = (step: Step): Record<string, number> =>
  Object.fromEntries(step.numbers.map(({ name, value }) => [name, value]));

export function playCase(
  script: HangerScript,
  change: (plan: Plan) => void = () => {},
  options: Partial<SampleOptions> & { hole?: readonly [fromS: number, toS: number] } = {},
): PlayedCase {
  const plan = heldOutHangerPlan();
  change(plan);
  const { hole, ...rest } = options;
  const all = script.samples({ seed: 1, ...rest });
  const first = all[0]!.sourceMs;
  const samples = hole
    ? all.filter(({ sourceMs }) => sourceMs < first + hole[0] * 1000 || sourceMs > first + hole[1] * 1000)
    : all;
  const { record } = playSamples(plan, samples, script.journal);
  const steps = record.steps ?? [];
  return {
    record,
    steps: steps.map(({ kind, name, outcome }) => `${kind} ${name}: ${outcome}`),
    details: steps.map(({ detail }) => detail),
    events: record.events.map(({ kind }) => kind),
  };
}
