import { checkPlan } from '../../../src/check/checkPlan.ts';
import { type Check, checkSchema } from '../../../src/check/checkSchema.ts';
import { compileJob } from '../../../src/plan/job.ts';
import type { Plan } from '../../../src/plan/planSchema.ts';
import type { Route, Served } from '../route.ts';

/** Worked out once for a plan: a journal may bring in another. */
const done = new WeakMap<Served, { readonly plan: Plan; readonly check: Check }>();

export const checkRoute: Route = {
  url: '/api/check',
  says: 'The plan in force worked out before the trip, jointwise-check/1.',
  answers: { 200: { says: 'The check.', type: 'application/json', schema: checkSchema } },
  handle(served): Check {
    const { plan } = served.live;
    const known = done.get(served);
    if (known?.plan === plan) return known.check;
    const check = checkPlan(compileJob(plan), { caliper: served.caliper });
    done.set(served, { plan, check });
    return check;
  },
};
