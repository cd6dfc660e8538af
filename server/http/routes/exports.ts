/** The files for others of the run that is open, to be downloaded. */
import { Readable } from 'node:stream';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod/mini';
import { EXPORT_KINDS, EXPORT_NAMES, type ExportName } from '../../../src/export/exportKinds.ts';
import { workCourse } from '../../../src/export/workedCourse.ts';
import { unitSystemSchema } from '../../../src/plan/planSchema.ts';
import type { Course } from '../../../src/replay/course.ts';
import { createSampleColumns } from '../../../src/replay/sampleColumns.ts';
import { decodeSamples, encodeSamples } from '../../../src/replay/sampleWire.ts';
import { attachment } from '../attachment.ts';
import { problem } from '../problem.ts';
import type { Route, Served } from '../route.ts';

const EXPORT_LIMITS = {
  /** Written at a time: each works the whole run through, and has its samples in memory. */
  atOnce: 2,
  passes: 10_000,
} as const;
/** When a third may be asked for, s. */
const RETRY_AFTER_S = 10;

const querySchema = z.object({
  units: z.optional(unitSystemSchema).check(z.describe('That the file is written in; left out: those of the plan.')),
});
const depthSchema = z.extend(querySchema, {
  tool: z
    .optional(z.string().check(z.maxLength(64)))
    .check(z.describe('Of this tool; left out: of those that each joint names.')),
  pass: z
    .optional(z.coerce.number().check(z.int(), z.minimum(1), z.maximum(EXPORT_LIMITS.passes)))
    .check(z.describe('Left out: the last one.')),
});
type Query = z.infer<typeof depthSchema>;

/** Downloads that are being written, of whatever run, by service. */
const writing = new WeakMap<Served['hub'], { count: number }>();

const turn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

/** @returns the course up to now; a line that says why not where it is not at hand */
async function courseNow({ live }: Served): Promise<Course | string> {
  const log = await live.sampleLog();
  if (typeof log === 'string') return log;
  const { plan, tag, entries } = live.course();
  const samples = createSampleColumns(log.rows);
  const decoded = decodeSamples(encodeSamples(log), samples);
  if (decoded.kind === 'bad') return decoded.reason;
  if (samples.rows === 0) return 'the run: found no sample yet, expected one';
  return { plan, tag, depthOffsetM: 0, samples, entries: [...entries] };
}

/** A turn of the service between two pieces: the live run goes on. */
async function* pieces(served: Served, course: Course, as: ExportName, query: Query): AsyncGenerator<string> {
  const { source, run: name } = served.live.course();
  const work = workCourse(course, source);
  let worked = work.next();
  for (; !worked.done; worked = work.next()) await turn();
  const { units = course.plan.units, ...choice } = query;
  for (const piece of EXPORT_KINDS[as].write({ ...worked.value, name, units }, choice)) {
    if (piece !== '') yield piece;
    await turn();
  }
}

async function download(
  served: Served,
  as: ExportName,
  request: FastifyRequest,
  reply: FastifyReply,
): Promise<unknown> {
  const query = request.query as Query;
  const state = writing.get(served.hub) ?? { count: 0 };
  writing.set(served.hub, state);
  const tools = served.live.plan.tools.map(({ name }) => name);
  if (query.tool !== undefined && !tools.includes(query.tool)) {
    return reply.code(400).send({ error: `tool: found "${query.tool}", expected one of ${tools.join(', ')}` });
  }
  if (state.count >= EXPORT_LIMITS.atOnce) {
    reply.header('retry-after', String(RETRY_AFTER_S));
    return reply.code(503).send({ error: `downloads: found ${state.count} under way, expected fewer` });
  }
  state.count += 1;
  const course = await courseNow(served).catch((error: unknown) => {
    state.count -= 1;
    throw error;
  });
  if (typeof course === 'string') {
    state.count -= 1;
    return reply.code(409).send({ error: course });
  }
  const { ends, type } = EXPORT_KINDS[as];
  reply.type(`${type}; charset=utf-8`).header('content-disposition', attachment(served.live.run, ends));
  const file = Readable.from(pieces(served, course, as, query), { objectMode: false });
  // Also where the other side goes away before the first piece.
  file.once('close', () => {
    state.count -= 1;
  });
  return reply.send(file);
}

export const exportRoutes: readonly Route[] = EXPORT_NAMES.map((as) => ({
  url: `/api/export/${as}`,
  says: `The run so far as a file: ${EXPORT_KINDS[as].says}.`,
  query: as === 'las-depth' ? depthSchema : querySchema,
  answers: {
    200: { says: 'The file.', type: EXPORT_KINDS[as].type },
    400: problem('The query cannot be meant.'),
    409: problem('There is no sample yet, or the service does not hold all of them.'),
    503: problem('Other downloads are under way.'),
  },
  handle: (served, request, reply) => download(served, as, request, reply),
}));
