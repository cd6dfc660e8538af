/** What is told of the live run is told of every run of the library too, by the same routes, under the run's name. */
import { z } from 'zod/mini';
import { snapshotMessageSchema } from '../../../src/live/messages.ts';
import { runParamsSchema } from '../../library/runName.ts';
import type { LiveRun } from '../../live/liveRun.ts';
import { problem } from '../problem.ts';
import type { Route, Served } from '../route.ts';
import { checkRoute } from './check.ts';
import { courseRoute } from './course.ts';
import { exportRoutes } from './exports.ts';
import { closeHandoverRoute, handoverRoute } from './handover.ts';
import { journalRoute } from './journal.ts';
import { NO_RUN, ofRun } from './libraryRuns.ts';
import { planRoute } from './plan.ts';
import { recordRoute } from './record.ts';
import { reportRoute } from './report.ts';
import { samplesRoute } from './samples.ts';
import { SCENARIO_ROUTES } from './scenarios.ts';
import { jointSheetRoute, sheetsRoute } from './sheets.ts';
import { SHIFT_SHEET_ROUTES } from './shiftSheets.ts';
import { signRoute } from './sign.ts';
import { signaturesRoute } from './signatures.ts';
import { signedTextRoute } from './signedText.ts';
import { timeRoute } from './time.ts';
import { tracesRoute } from './traces.ts';

/** All that a page of the live run is told when it opens, of a run that is over: the same as the first live message. */
const snapshotRoute: Route = {
  url: '/api/snapshot',
  says: 'The run as it stands at its end: plan, joints, events, steps, readings.',
  answers: { 200: { says: 'The run.', type: 'application/json', schema: snapshotMessageSchema } },
  handle: ({ live }): z.infer<typeof snapshotMessageSchema> => live.snapshot(0),
};

/** What the live route may refuse besides. */
const NOT_IN_IT = problem('There is no such run, no library, or nothing of the kind in the run.');

/** One by one: `live` of what is served may have nothing to give. A caliper log is that of the live run's hole. */
function servedAs(served: Served, live: LiveRun, verification: Served['verification']): Served {
  const { hub, library, desk, scenarios, signing, handover, reportExtras, version, startedMs, nowMs } = served;
  const isPresent = served.hasLive?.() !== false && served.live === live;
  const caliper = isPresent ? served.caliper : undefined;
  const same = { hub, library, desk, scenarios, signing, handover, reportExtras, version, startedMs, nowMs };
  return { ...same, live, caliper, verification };
}

function underRun(route: Route): Route {
  return {
    ...route,
    url: route.url.replace('/api/', '/api/runs/:name/'),
    says: `Of a run of the library: ${route.says}`,
    params: z.object({ ...route.params?.shape, ...runParamsSchema.shape }),
    answers: {
      ...route.answers,
      400: problem('The request cannot be meant.'),
      404: route.answers[404] ? NOT_IN_IT : NO_RUN,
      409: problem('The run cannot be read.'),
    },
    handle: (served, request, reply) =>
      ofRun(served, request.params, reply, async (desk, id) => {
        const live = await desk.live(id);
        return route.handle(
          servedAs(served, live, () => desk.verification(id)),
          request,
          reply,
        );
      }),
  };
}

export const RUN_ROUTES: readonly Route[] = [
  snapshotRoute,
  courseRoute,
  samplesRoute,
  tracesRoute,
  recordRoute,
  planRoute,
  checkRoute,
  timeRoute,
  signaturesRoute,
  signedTextRoute,
  signRoute,
  journalRoute,
  sheetsRoute,
  jointSheetRoute,
  reportRoute,
  ...SHIFT_SHEET_ROUTES,
  ...exportRoutes,
  handoverRoute,
  closeHandoverRoute,
  ...SCENARIO_ROUTES,
].map(underRun);
