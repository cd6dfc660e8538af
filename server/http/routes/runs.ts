import { type Runs, runsSchema } from '../../../src/library/librarySchema.ts';
import type { Route } from '../route.ts';

export const runsRoute: Route = {
  url: '/api/runs',
  says: 'The recorded runs of the data folder, newest first; none where nothing is kept.',
  answers: { 200: { says: 'The runs.', type: 'application/json', schema: runsSchema } },
  handle: ({ desk }): Runs => desk?.runs() ?? { library: 'none', present: null, runs: [] },
};
