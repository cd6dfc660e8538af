import { z } from 'zod/mini';
import { Fault } from '../../../src/fault.ts';
import { problem } from '../problem.ts';
import type { Route, Served } from '../route.ts';

const querySchema = z.object({ run: z.string().check(z.maxLength(64)) });

const rowSchema = z.object({
  /** Of the record in the raw log. */
  number: z.int(),
  /** When it reached us, ms since 1970 UTC. */
  arrivalMs: z.number(),
  /** As it was entered: a line of a journal file. */
  entry: z.unknown(),
});
const rowsSchema = z.object({ run: z.string(), journal: z.array(rowSchema) });

export const runJournalRoute: Route = {
  url: '/api/runs/journal',
  says: 'What people did in a recorded run: who, when, what and why, in the order in which it was entered.',
  query: querySchema,
  answers: {
    200: { says: 'The journal.', type: 'application/json', schema: rowsSchema },
    400: problem('No run is named.'),
    404: problem('There is no run of this id.'),
  },
  handle({ library }, request, reply) {
    const { run } = request.query as z.infer<typeof querySchema>;
    const journal = rowsOf(library, run);
    return journal === null ? reply.code(404).send({ error: `run: found none of the id "${run}"` }) : { run, journal };
  },
};

function rowsOf(library: Served['library'], id: string): z.infer<typeof rowsSchema>['journal'] | null {
  if (!library) return null;
  try {
    const run = library.read(id);
    try {
      return run.journal().map(({ number, arrivalMs, entry }) => ({ number, arrivalMs, entry: JSON.parse(entry) }));
    } finally {
      run.close();
    }
  } catch (error) {
    if (error instanceof Fault) return null;
    throw error;
  }
}
