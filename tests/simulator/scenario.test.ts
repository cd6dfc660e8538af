import { expect, test } from 'vitest';
import { scenarioSchema } from '../../ingest/simulator/scenario.ts';
import { scenarioProblems } from '../../ingest/simulator/scenarioProblems.ts';
import { compileJob } from '../../src/plan/job.ts';
import { testPlan } from '../support/trips.ts';

const LEAST = {
  format: 'jointwise-scenario/1',
  units: 'metric',
  plan: 'plan.json',
  seed: 1,
  startAt: '2031-03-04T00:00:00Z',
};

test('the least scenario is a clean 1 Hz trip', () => {
  const scenario = scenarioSchema.parse(LEAST);
  expect(scenario.incidents).toEqual([]);
  expect(scenario.stream).toMatchObject({ framePeriod: 1, depthResolution: '0.01 m', record5: false });
});

test.each([
  ['format', { format: 'jointwise-scenario/2' }],
  ['framePeriod', { stream: { framePeriod: 6 } }],
  ['depthResolution', { stream: { depthResolution: '1 m' } }],
  ['startAt', { startAt: 'today' }],
  ['kind', { incidents: [{ kind: 'earthquake', joint: 'S1', into: 1 }] }],
  ['into', { incidents: [{ kind: 'stall', joint: 'S1', into: -1 }] }],
])('a bad %s is refused, and its place named', (place, change) => {
  const { error } = scenarioSchema.safeParse({ ...LEAST, ...change });
  expect(error!.issues[0]!.path.at(-1)).toBe(place);
});

test.each([
  ['S1', 3, []],
  ['S9', 3, ['incidents[0].joint: found "S9", expected one of Z1, S1, S2']],
  ['B1', 3, ['incidents[0].joint: found "B1", expected one of Z1, S1, S2']],
  ['S1', 10.5, ['incidents[0].into: found 10.5 in "S1", expected less than 10.5']],
])('an incident on %s, %d m into it: %j', (joint, into, expected) => {
  const scenario = scenarioSchema.parse({ ...LEAST, incidents: [{ kind: 'stall', joint, into }] });
  const found = scenarioProblems(scenario, compileJob(testPlan())).map(({ path, text }) => `${path}: ${text}`);
  expect(found).toEqual(expected);
});
