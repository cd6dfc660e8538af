/** Each trouble of the pressure at the tool, from the simulated rig's bytes through the whole pipeline. */
import { describe, expect, test } from 'vitest';
import type { IncidentInput } from '../../ingest/simulator/scenario.ts';
import { scenarioSchema } from '../../ingest/simulator/scenario.ts';
import { scenarioProblems } from '../../ingest/simulator/scenarioProblems.ts';
import { createWitsReader } from '../../ingest/wits/witsReader.ts';
import type { EventName } from '../../src/events.ts';
import { advance, createRun, type Run } from '../../src/pipeline/run.ts';
import { compileJob } from '../../src/plan/job.ts';
import { type Plan, planSchema } from '../../src/plan/planSchema.ts';
import { ENGINEERING_PART } from '../src/plan/examplePlan.ts';
import { type TestTrip, testPlan, testScenario, trip } from '../support/trips.ts';

const { fluid, string, hole, flowPath } = ENGINEERING_PART;
const pumps = ['1', '2'].map((name) => ({ name, displacement: 16.2 }));

function plan(framePeriod: number): Plan {
  const bare = testPlan();
  return planSchema.parse({
    ...bare,
    stream: { ...bare.stream, gapAfter: 5 * framePeriod },
    fluid,
    string,
    hole: [...hole.slice(0, 1), { ...hole[1]!, to: 2600 }],
    flowPath,
    surface: { blockWeight: 180, pumps },
  });
}

function runOf({ plan: of, bytes }: TestTrip): Run {
  const job = compileJob(of);
  const run = createRun(job);
  const reader = createWitsReader(job.stream, (sample) => advance(run, { kind: 'sample', sample }));
  reader.push(bytes, Number.NaN);
  reader.end();
  return run;
}

const OURS: readonly EventName[] = ['washout', 'plugging', 'pump mismatch', 'valve not shifted', 'valve not reset'];

const INCIDENTS: readonly IncidentInput[] = [
  { kind: 'washout', joint: 'S1', into: 2 },
  { kind: 'plugging', joint: 'S1', into: 2 },
  { kind: 'pump mismatch', joint: 'S2', into: 3 },
  { kind: 'valve not shifted', joint: 'Z1', into: 2 },
  { kind: 'valve not reset', joint: 'Z1', into: 3 },
];

describe.each([1, 5])('a frame in %i s', (framePeriod) => {
  test.each(INCIDENTS)('$kind is found while it lasts, on its joint, and nothing else of its sort', (incident) => {
    const told = trip(3, plan(framePeriod), { incidents: [incident], stream: { framePeriod } });
    const [truth] = told.truth.incidents;
    expect(truth).toMatchObject({ kind: incident.kind, joint: incident.joint });
    const found = runOf(told).events.events.filter((event) => OURS.includes(event.kind));
    expect(found.map(({ kind, joint }) => ({ kind, joint }))).toEqual([{ kind: incident.kind, joint: incident.joint }]);
    expect(found[0]!.fromMs).toBeGreaterThan(truth!.fromMs - 60_000);
    expect(found[0]!.fromMs).toBeLessThan(truth!.toMs);
    expect(found[0]!.toMs).not.toBeNull();
  });

  test.each([1, 2, 3, 4, 5, 6])('a clean trip has none of them, seed %i', (seed) => {
    const run = runOf(trip(seed, plan(framePeriod), { stream: { framePeriod } }));
    expect(run.events.events.map((event) => event.kind)).toEqual([]);
  });
});

test('a valve is on the way of an isolation joint', () => {
  const scenario = testScenario(1, { incidents: [{ kind: 'valve not shifted', joint: 'S1', into: 1 }] });
  expect(scenarioProblems(scenarioSchema.parse(scenario), compileJob(plan(1)))).toEqual([
    { path: 'incidents[0].joint', text: 'found "S1", expected an isolation joint' },
  ]);
});
