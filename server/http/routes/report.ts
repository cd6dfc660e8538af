import type { FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod/mini';
import { unitSystemSchema } from '../../../src/plan/planSchema.ts';
import type { LiveRun } from '../../live/liveRun.ts';
import { LiveReports, NoReport } from '../../report/liveReports.ts';
import { problem } from '../problem.ts';
import type { Route, Served } from '../route.ts';

export const unitsQuery = z.object({
  units: z.optional(unitSystemSchema).check(z.describe('Units to show; left out: those of the plan.')),
});

export const REPORT_PROBLEMS = {
  400: problem('The query cannot be meant.'),
  404: problem('No sample has come yet.'),
  409: problem('The service does not hold all samples of the run.'),
  503: problem('Too many reports are being made.'),
};

/** One for a run: what it has counted is not counted again. */
const reports = new WeakMap<LiveRun, LiveReports>();

export function reportsOf({ live, reportExtras }: Served): LiveReports {
  const known = reports.get(live) ?? new LiveReports(live, () => reportExtras?.(live) ?? {});
  reports.set(live, known);
  return known;
}

/** @throws whatever is not for who asks to know */
export function noReport(reply: FastifyReply, error: unknown): FastifyReply {
  if (!(error instanceof NoReport)) throw error;
  return reply.code(error.code).type('application/json').send({ error: error.message });
}

/** Host was admitted before: links in the report lead to the page that it was asked from, and there to its run. */
export function pageOf({ protocol, headers }: FastifyRequest, live: LiveRun): string {
  const { recording } = live.ingest();
  // One that is not kept is the live one or none.
  const run = recording.state === 'not kept' ? '' : `#run=${encodeURIComponent(recording.run)}`;
  return `${protocol}://${headers.host}/${run}`;
}

export const reportRoute: Route = {
  url: '/api/report.pdf',
  says: 'The report of the run so far as one PDF.',
  query: unitsQuery,
  answers: { 200: { says: 'The report.', type: 'application/pdf' }, ...REPORT_PROBLEMS },
  async handle(served, request, reply) {
    const { units } = request.query as z.infer<typeof unitsQuery>;
    try {
      const bytes = await reportsOf(served).pdf(units, pageOf(request, served.live), async () => ({
        verification: (await served.verification?.()) ?? undefined,
      }));
      return reply
        .type('application/pdf')
        .header('content-disposition', 'inline; filename="report.pdf"')
        .send(Buffer.from(bytes));
    } catch (error) {
      return noReport(reply, error);
    }
  },
};
