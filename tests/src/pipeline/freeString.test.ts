/** Free of the liner: no tool in or near a joint that it could be expanding at this pressure. */
import { expect, it } from 'vitest';
import { isFreeOfJoints } from '../../../src/pipeline/freeString.ts';
import { createRun } from '../../../src/pipeline/run.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { scenarioPlan } from './scenario.ts';

// Z1 is expanded from 1000.5 to 1005.5 by the upper tool, S1 from 1014.5 to 1018.5 by the lower one.
it.each([
  ['above the liner', 990, 994, 18000, true],
  ['upper tool in its joint, rolling', 1003, 1007, 18000, false],
  ['upper tool in its joint, pumps slow', 1003, 1007, 4000, true],
  ['lower tool in the upper one’s joint', 998, 1003, 18000, true],
  ['lower tool half a metre above its screen', 1010.1, 1014.1, 9000, false],
  ['lower tool a metre above its screen', 1009.4, 1013.4, 9000, true],
  ['a depth that is not known', Number.NaN, Number.NaN, 1000, false],
] as const)('%s', (_, upper, lower, kpa, free) => {
  const run = createRun(compileJob(scenarioPlan()));
  run.toolDepths = [upper, lower];
  expect(isFreeOfJoints(run, kpa, Number.NaN)).toBe(free);
});
