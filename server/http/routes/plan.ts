import { planSchema } from '../../../src/plan/planSchema.ts';
import type { Route } from '../route.ts';

export const planRoute: Route = {
  url: '/api/plan',
  says: 'The plan that the run is judged by, jointwise-plan/1.',
  answers: { 200: { says: 'The plan.', type: 'application/json', schema: planSchema } },
  handle: ({ live }) => live.plan,
};
