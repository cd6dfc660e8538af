/** GET /api/check: the plan in force, with the caliper log that the service was given. */
import { readFile } from 'node:fs/promises';
import type { FastifyInstance } from 'fastify';
import { Subject } from 'rxjs';
import { afterEach, expect, test } from 'vitest';
import { createApp } from '../../server/http/app.ts';
import { Hub } from '../../server/live/hub.ts';
import type { Change } from '../../server/live/liveFeed.ts';
import type { LiveRun } from '../../server/live/liveRun.ts';
import { readPlan } from '../../server/plan/readPlan.ts';
import { ScenarioStores } from '../../server/scenarios/scenarioStores.ts';
import { checkPlan } from '../../src/check/checkPlan.ts';
import { checkSchema } from '../../src/check/checkSchema.ts';
import { type CaliperReading, readCaliperLog } from '../../src/engineering/caliperLog.ts';
import { compileJob } from '../../src/plan/job.ts';
import { ManualClock } from '../support/manualClock.ts';

let app: FastifyInstance;
let hub: Hub;
afterEach(async () => {
  await hub.close();
  await app.close();
});

async function served(caliper?: CaliperReading) {
  const { plan } = await readPlan('replay-data/demo-plan.json');
  const clock = new ManualClock();
  const live = { plan, changes: new Subject<Change>(), takeDelta: () => null };
  hub = new Hub(live as unknown as LiveRun, clock);
  const nowMs = () => clock.nowMs();
  app = await createApp({
    served: {
      live: live as unknown as LiveRun,
      hub,
      caliper,
      scenarios: new ScenarioStores(),
      version: '0',
      startedMs: 0,
      nowMs,
    },
    admission: { boundTo: '127.0.0.1', machineNames: [], allowedOrigins: [] },
  });
  const ask = async () => {
    const answer = await app.inject({ url: '/api/check', headers: { host: '127.0.0.1' } });
    expect(answer.statusCode).toBe(200);
    return checkSchema.parse(answer.json());
  };
  return { plan, live, ask };
}

test('it is the check of the plan and the log, byte for byte', async () => {
  const log = await readFile('replay-data/demo-caliper.csv', 'utf8');
  const caliper = readCaliperLog(log, { file: 'log.csv', nulls: [] });
  const { plan, ask } = await served(caliper);
  const check = await ask();
  expect(JSON.stringify(check)).toBe(JSON.stringify(checkPlan(compileJob(plan), { caliper })));
  expect(check.hole?.joints).toHaveLength(8);
});

test('a plan that the journal brought in is checked anew', async () => {
  const { plan, live, ask } = await served();
  expect((await ask()).hole).toBeNull();
  live.plan = structuredClone(plan);
  live.plan.liner.joints.pop();
  live.plan.liner.joints.splice(9, 1);
  expect((await ask()).roadmap).toHaveLength(7);
});

test('the description of the service has it, with the schema of the check', async () => {
  await served();
  const { paths } = (await app.inject({ url: '/openapi.json', headers: { host: '127.0.0.1' } })).json();
  const { schema } = paths['/api/check'].get.responses['200'].content['application/json'];
  expect(schema.required).toEqual(expect.arrayContaining(['format', 'units', 'roadmap', 'findings']));
});
