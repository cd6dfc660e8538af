import { z } from 'zod/mini';
import type { Route } from '../route.ts';

const runSchema = z.object({
  id: z.string(),
  name: z.string(),
  source: z.string(),
  /** By our clock, ms since 1970 UTC; 0 for the last before the first record. */
  createdMs: z.number(),
  lastMs: z.number(),
  state: z.enum(['recording', 'closed', 'not closed']),
  records: z.int(),
  /** Why the index of the run was not used; empty: it is whole. */
  problems: z.array(z.string()),
});
const runsSchema = z.object({ runs: z.array(runSchema) });

export const runsRoute: Route = {
  url: '/api/runs',
  says: 'The recorded runs of the data folder, newest first; none where nothing is kept.',
  answers: { 200: { says: 'The runs.', type: 'application/json', schema: runsSchema } },
  handle: ({ library }): z.infer<typeof runsSchema> => ({
    runs: (library?.list() ?? []).map(({ problems, ...run }) => ({ ...run, problems: [...problems] })),
  }),
};
