/** A condition that the plan has no limit for is not asked any more; what stood under the plan before still gets its end. */
import { expect, it } from 'vitest';
import { emptySample } from '../../../src/channels.ts';
import { judgeConditions } from '../../../src/pipeline/conditions.ts';
import { createRun } from '../../../src/pipeline/run.ts';
import { compileJob, type Job } from '../../../src/plan/job.ts';
import { planSchema } from '../../../src/plan/planSchema.ts';

const FROM_MS = Date.UTC(2031, 0, 1);

const jobWith = (limits: object): Job =>
  compileJob(
    planSchema.parse({
      format: 'jointwise-plan/1',
      units: 'metric',
      job: { well: 'test', rig: 'test' },
      stream: { units: 'metric' },
      liner: { top: 1000, joints: [{ name: 'S1', kind: 'screen', length: 10 }] },
      tools: [{ name: 'tool', offset: 0 }],
      recipes: { screen: { tools: ['tool'], pressure: { min: 7500 } } },
      acceptance: { coverage: 0.97, longestGap: 0.3 },
      limits,
    }),
  );

it.each([
  ['kept', { hookload: { max: 1000 } }, null],
  ['moved out of reach', { hookload: { max: 5000 } }, FROM_MS + 60_000],
  ['left out', {}, FROM_MS + 60_000],
])('an event is open when the plan changes, its limit is %s', (_, limits, ends) => {
  const run = createRun(jobWith({ hookload: { max: 1000 } }));
  for (let second = 0; second < 180; second += 1) {
    if (second === 60) run.job = jobWith(limits);
    run.lastMs = FROM_MS + 1000 * second;
    judgeConditions(run, { ...emptySample(run.lastMs, run.lastMs), hookload: 1200 });
  }
  expect(run.events.events.map(({ kind, toMs }) => ({ kind, toMs }))).toEqual([{ kind: 'high hookload', toMs: ends }]);
});
