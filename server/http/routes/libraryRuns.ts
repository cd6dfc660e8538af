/** What can be done with the runs of the library: begin, name, close, reopen, verify, copy. */
import type { FastifyReply } from 'fastify';
import { z } from 'zod/mini';
import { Fault, type FaultCode } from '../../../src/fault.ts';
import { runNamedSchema, verifiedSchema } from '../../../src/library/librarySchema.ts';
import { planProblems } from '../../../src/plan/job.ts';
import { PLAN_LIMITS, type Plan, planSchema } from '../../../src/plan/planSchema.ts';
import { archiveFile } from '../../library/archiveFile.ts';
import { askedRun } from '../../library/askedRun.ts';
import { backupZip } from '../../library/backupZip.ts';
import type { LibraryDesk } from '../../library/libraryDesk.ts';
import { runNameSchema, runParamsSchema } from '../../library/runName.ts';
import { attachment } from '../attachment.ts';
import { problem } from '../problem.ts';
import type { Route, Served } from '../route.ts';

/** An order that says all by its path. */
export const ORDER_BYTES = 1024;
export const orderSchema = z.strictObject({});

/** What went wrong outside is told as what it means for who asked; all else is ours. */
const STATUS: Partial<Readonly<Record<FaultCode, number>>> = {
  'cannot write': 500,
  'file unreadable': 404,
  'file too large': 413,
  'not json': 400,
  'bad plan': 400,
  'bad channel map': 400,
};

/** @returns what `work` says, or one line and its status */
export async function answered(
  { desk }: Served,
  reply: FastifyReply,
  work: (desk: LibraryDesk) => unknown,
): Promise<unknown> {
  if (!desk)
    return reply.code(404).send({ error: 'there is no library: the service was started without --data FOLDER' });
  try {
    return await work(desk);
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    return reply.code(STATUS[error.code] ?? 409).send({ error: error.message.split('\n')[0]! });
  }
}

/** The same for a run that a path names. */
export function ofRun(
  served: Served,
  params: unknown,
  reply: FastifyReply,
  work: (desk: LibraryDesk, id: string) => unknown,
): Promise<unknown> {
  return answered(served, reply, (desk) => {
    const { name } = params as z.infer<typeof runParamsSchema>;
    let id: string;
    try {
      id = askedRun(desk.library, name).id;
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      return reply.code(404).send({ error: error.message });
    }
    return work(desk, id);
  });
}

export const NO_RUN = problem('There is no such run, or no library.');
const NOT_NOW = problem('It cannot be done: the line says why.');
const BAD = problem('The request cannot be meant.');
const UNWRITTEN = problem('It could not be written; nothing has changed.');
const named = (says: string) => ({ says, type: 'application/json', schema: runNamedSchema }) as const;

function nameOf({ library }: LibraryDesk, id: string): z.infer<typeof runNamedSchema> {
  const run = library.read(id);
  try {
    return { id, name: run.info().name };
  } finally {
    run.close();
  }
}

const startSchema = z.strictObject({
  name: runNameSchema,
  /** Left out: the plan that is in force. */
  plan: z.optional(planSchema),
});

const startRoute: Route = {
  url: '/api/runs/start',
  says: 'Begins a new run from the source of the service; the present one is closed.',
  body: { schema: startSchema, mostBytes: PLAN_LIMITS.bytes },
  answers: { 201: named('It has begun.'), 400: BAD, 404: NO_RUN, 409: NOT_NOW, 500: UNWRITTEN },
  handle: (served, request, reply) =>
    answered(served, reply, async (desk) => {
      const { name, plan } = request.body as { name: string; plan?: Plan };
      const wrong = plan && planProblems(plan)[0];
      if (wrong) return reply.code(400).send({ error: `plan.${wrong.path}: ${wrong.text}` });
      const id = await desk.recording.start(name, plan);
      return reply.code(201).send(nameOf(desk, id));
    }),
};

const nameRoute: Route = {
  url: '/api/runs/:name/name',
  says: 'Gives a run another name; its id stays.',
  params: runParamsSchema,
  body: { schema: z.strictObject({ name: runNameSchema }), mostBytes: 4 * ORDER_BYTES },
  answers: { 200: named('It is called so.'), 400: BAD, 404: NO_RUN, 500: UNWRITTEN },
  handle: (served, request, reply) =>
    ofRun(served, request.params, reply, async (desk, id) => {
      await desk.rename(id, (request.body as { name: string }).name);
      return nameOf(desk, id);
    }),
};

const closeRoute: Route = {
  url: '/api/runs/:name/close',
  says: 'Ends the recording of a run, also of one that a crash left open, and seals it.',
  params: runParamsSchema,
  body: { schema: orderSchema, mostBytes: ORDER_BYTES },
  answers: { 200: named('It is closed.'), 400: BAD, 404: NO_RUN, 500: UNWRITTEN },
  handle: (served, request, reply) =>
    ofRun(served, request.params, reply, async (desk, id) => {
      await desk.closeRun(id);
      return nameOf(desk, id);
    }),
};

const reopenRoute: Route = {
  url: '/api/runs/:name/reopen',
  says: 'Goes on recording a run that was closed; the present one is closed.',
  params: runParamsSchema,
  body: { schema: orderSchema, mostBytes: ORDER_BYTES },
  answers: { 200: named('It is recorded.'), 400: BAD, 404: NO_RUN, 409: NOT_NOW, 500: UNWRITTEN },
  handle: (served, request, reply) =>
    ofRun(served, request.params, reply, async (desk, id) => nameOf(desk, await desk.recording.reopen(id))),
};

const verifyRoute: Route = {
  url: '/api/runs/:name/verify',
  says: 'Walks a run from its first record and says what is whole and what is not. Changes nothing.',
  params: runParamsSchema,
  body: { schema: orderSchema, mostBytes: ORDER_BYTES },
  answers: {
    200: { says: 'What was found.', type: 'application/json', schema: verifiedSchema },
    400: BAD,
    404: NO_RUN,
    409: problem('Another one is being verified.'),
  },
  handle: (served, request, reply) => ofRun(served, request.params, reply, (desk, id) => desk.verify(id)),
};

const backupRoute: Route = {
  url: '/api/runs/:name/backup',
  says: 'A copy of a run, also while it is recorded: a zip; unpacked, `restore` puts it back.',
  params: runParamsSchema,
  answers: { 200: { says: 'The copy.', type: 'application/zip' }, 400: BAD, 404: NO_RUN, 500: UNWRITTEN },
  handle: (served, request, reply) =>
    ofRun(served, request.params, reply, async (desk, id) => {
      const zip = await backupZip(desk.data, id);
      return reply
        .type('application/zip')
        .header('content-disposition', `attachment; filename="run-${id}.zip"`)
        .send(zip);
    }),
};

const archiveRoute: Route = {
  url: '/api/runs/:name/archive',
  says: 'The whole run in one file, also while it is recorded, with its record and its report: `unpack` puts it into another library.',
  params: runParamsSchema,
  answers: {
    200: { says: 'The archive.', type: 'application/zip' },
    400: BAD,
    404: NO_RUN,
    409: problem('Another one is being written.'),
    500: UNWRITTEN,
  },
  handle: (served, request, reply) =>
    ofRun(served, request.params, reply, async (desk, id) => {
      const { bytes, stream } = await archiveFile(desk.data, id);
      const named = attachment(nameOf(desk, id).name || id, '-archive.zip');
      return reply
        .type('application/zip')
        .header('content-length', bytes)
        .header('content-disposition', named)
        .send(stream);
    }),
};

export const LIBRARY_ROUTES: readonly Route[] = [
  startRoute,
  nameRoute,
  closeRoute,
  reopenRoute,
  verifyRoute,
  backupRoute,
  archiveRoute,
];
