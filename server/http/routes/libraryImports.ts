/** A recorded stream taken into the library over HTTP: told of, sent in parts, looked at, kept. */
import { z } from 'zod/mini';
import { FORMATS, type StreamFormat } from '../../../ingest/recognise.ts';
import { Fault } from '../../../src/fault.ts';
import { importSchema, LIBRARY_LIMITS } from '../../../src/library/librarySchema.ts';
import { channelsFileSchema, PLAN_LIMITS } from '../../../src/plan/planSchema.ts';
import { mustBeTakeable } from '../../library/importDesk.ts';
import type { LibraryDesk } from '../../library/libraryDesk.ts';
import { runNameSchema } from '../../library/runName.ts';
import { parseJson } from '../../plan/parseJson.ts';
import { journalFrom } from '../../plan/readJournal.ts';
import { planFrom } from '../../plan/readPlan.ts';
import { schemaFaults } from '../../plan/schemaFaults.ts';
import { withChannels } from '../../plan/withChannels.ts';
import { problem } from '../problem.ts';
import type { Route } from '../route.ts';
import { answered, ORDER_BYTES, orderSchema } from './libraryRuns.ts';

const beginSchema = z.strictObject({
  /** Name of the file, for what is said of it; it is no path. */
  file: runNameSchema,
  bytes: z.int().check(z.minimum(1)),
  /** The text of the plan file, and of the channel map where there is one: they are judged as files are. */
  plan: z.string().check(z.maxLength(PLAN_LIMITS.bytes)),
  channels: z.optional(z.string().check(z.maxLength(PLAN_LIMITS.bytes))),
  /** The text of the journal, JSON Lines, where there is one. */
  journal: z.optional(z.string().check(z.maxLength(LIBRARY_LIMITS.journalChars))),
  format: z.optional(z.enum(FORMATS)),
});
const paramsSchema = z.object({ id: z.string().check(z.regex(/^[0-9a-f]{24}$/, 'the id of an import')) });
const partQuery = z.object({
  at: z.coerce
    .number()
    .check(z.int(), z.minimum(0), z.maximum(LIBRARY_LIMITS.importBytes), z.describe('Bytes that were sent before.')),
});

/** The files and what JSON adds to them. */
const BEGIN_BYTES = 3 * PLAN_LIMITS.bytes + 2 * LIBRARY_LIMITS.journalChars;

const told = (says: string) => ({ says, type: 'application/json', schema: importSchema }) as const;
const OTHERS = {
  400: problem('The request cannot be meant.'),
  404: problem('There is no library.'),
  409: problem('It cannot be done: the line says why.'),
  413: problem('It is longer than may be.'),
  500: problem('It could not be written.'),
} as const;

const answerOf = ({ imports }: LibraryDesk, id: string): z.infer<typeof importSchema> => ({
  id,
  partBytes: LIBRARY_LIMITS.partBytes,
  import: imports.state(id),
});

/** A plan with the channel map in it, as a run keeps it. @throws Fault of the file that cannot be used */
function planOf(planText: string, channelsText: string | undefined) {
  if (channelsText === undefined) return { ...planFrom('the plan', parseJson('the plan', planText)), text: planText };
  const value = parseJson('the channel map', channelsText);
  const map = channelsFileSchema.safeParse(value);
  if (!map.success) {
    throw new Fault('bad channel map', `the channel map: ${schemaFaults(map.error.issues, value)[0]}`);
  }
  const read = planFrom('the plan', parseJson('the plan', planText), map.data.channels);
  return { ...read, text: withChannels(read.plan, map.data.channels) };
}

const beginRoute: Route = {
  url: '/api/imports/begin',
  says: 'Tells of a recorded stream that is to be taken in, with its plan; its bytes follow in parts.',
  body: { schema: beginSchema, mostBytes: BEGIN_BYTES },
  answers: { 201: told('Its parts may be sent.'), ...OTHERS },
  handle: (served, request, reply) =>
    answered(served, reply, async (desk) => {
      const { file, bytes, plan, channels, journal = '', format } = request.body as z.infer<typeof beginSchema>;
      mustBeTakeable(file, bytes);
      const read = planOf(plan, channels);
      const id = await desk.imports.begin({
        file,
        bytes,
        plan: read,
        journal: journalFrom('the journal', journal, read.plan),
        format: format as StreamFormat | undefined,
      });
      return reply.code(201).send(answerOf(desk, id));
    }),
};

const archiveSchema = z.strictObject({ file: runNameSchema, bytes: z.int().check(z.minimum(1)) });

const archiveRoute: Route = {
  url: '/api/imports/archive',
  says: 'Tells of the archive of a run that is to be taken in; its bytes follow in parts, and reading it makes it a run.',
  body: { schema: archiveSchema, mostBytes: 4 * ORDER_BYTES },
  answers: { 201: told('Its parts may be sent.'), ...OTHERS },
  handle: (served, request, reply) =>
    answered(served, reply, async (desk) => {
      const { file, bytes } = request.body as z.infer<typeof archiveSchema>;
      mustBeTakeable(file, bytes);
      const id = await desk.imports.begin({ file, bytes, plan: null, format: undefined, journal: [] });
      return reply.code(201).send(answerOf(desk, id));
    }),
};

const idOf = (params: unknown): string => (params as z.infer<typeof paramsSchema>).id;

const partRoute: Route = {
  url: '/api/imports/:id/part',
  says: 'The next bytes of the stream, as they are.',
  params: paramsSchema,
  query: partQuery,
  upload: { mostBytes: LIBRARY_LIMITS.partBytes },
  answers: { 200: told('They are here.'), ...OTHERS },
  handle: (served, request, reply) =>
    answered(served, reply, async (desk) => {
      const { at } = request.query as z.infer<typeof partQuery>;
      await desk.imports.part(idOf(request.params), at, request.body as Buffer);
      return answerOf(desk, idOf(request.params));
    }),
};

const readRoute: Route = {
  url: '/api/imports/:id/read',
  says: 'Reads the stream through to see what is understood of it; how far that is, is asked for.',
  params: paramsSchema,
  body: { schema: orderSchema, mostBytes: ORDER_BYTES },
  answers: { 200: told('It is being read.'), ...OTHERS },
  handle: (served, request, reply) =>
    answered(served, reply, (desk) => {
      desk.imports.read(idOf(request.params));
      return answerOf(desk, idOf(request.params));
    }),
};

const keepRoute: Route = {
  url: '/api/imports/:id/keep',
  says: 'Makes a run of the stream, its bytes as they are; how far that is, is asked for.',
  params: paramsSchema,
  body: { schema: z.strictObject({ name: runNameSchema }), mostBytes: 4 * ORDER_BYTES },
  answers: { 200: told('It is being kept.'), ...OTHERS },
  handle: (served, request, reply) =>
    answered(served, reply, (desk) => {
      desk.imports.keep(idOf(request.params), (request.body as { name: string }).name);
      return answerOf(desk, idOf(request.params));
    }),
};

const dropRoute: Route = {
  url: '/api/imports/:id/drop',
  says: 'Takes away what was sent; a run that came of it stays.',
  params: paramsSchema,
  body: { schema: orderSchema, mostBytes: ORDER_BYTES },
  answers: { 200: { says: 'It is gone.', type: 'application/json', schema: z.object({ id: z.string() }) }, ...OTHERS },
  handle: (served, request, reply) =>
    answered(served, reply, async (desk) => {
      await desk.imports.drop(idOf(request.params));
      return { id: idOf(request.params) };
    }),
};

const stateRoute: Route = {
  url: '/api/imports/:id',
  says: 'How far an import is, and what was understood.',
  params: paramsSchema,
  answers: { 200: told('So far.'), ...OTHERS },
  handle: (served, request, reply) => answered(served, reply, (desk) => answerOf(desk, idOf(request.params))),
};

export const IMPORT_ROUTES: readonly Route[] = [
  beginRoute,
  archiveRoute,
  partRoute,
  readRoute,
  keepRoute,
  dropRoute,
  stateRoute,
];
