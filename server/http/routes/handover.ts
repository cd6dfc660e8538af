import type { FastifyReply } from 'fastify';
import { z } from 'zod/mini';
import { Fault, invariant } from '../../../src/fault.ts';
import { handoversOf } from '../../../src/handover/handover.ts';
import { handoverPageSchema } from '../../../src/handover/handoverPage.ts';
import { remarksOf } from '../../../src/signing/signedText.ts';
import type { HandoverDesk } from '../../handover/handoverDesk.ts';
import { NoReport } from '../../report/liveReports.ts';
import { nameSchema } from '../../signing/peopleFile.ts';
import { problem } from '../problem.ts';
import type { Route, Served } from '../route.ts';
import { noReport } from './report.ts';

export const handoverQuery = z.object({
  /** Of a handover that is closed; left out: the period that is open. */
  number: z.optional(z.string().check(z.regex(/^\d{1,6}$/))),
});

const closedSchema = z.object({ number: z.int(), from: z.string(), to: z.string(), by: z.string(), at: z.string() });
const handoverSchema = z.object({
  /** Null: it is open. */
  number: z.nullable(z.int()),
  page: handoverPageSchema,
  /** Handovers that are closed, in order. */
  closed: z.array(closedSchema),
});

const bodySchema = z.object({ by: nameSchema });
const madeSchema = z.object({ ...closedSchema.shape, page: handoverPageSchema });

const desk = ({ handover }: Served): HandoverDesk => {
  invariant(handover !== undefined, 'a service has a desk for handovers');
  return handover;
};

function refused(error: unknown, reply: FastifyReply): FastifyReply {
  if (!(error instanceof Fault)) throw error;
  return reply.code(error.code === 'cannot write' ? 500 : 409).send({ error: error.message });
}

export type AskedHandover = z.infer<typeof handoverSchema>;

/** @param number of one that is closed; left out: the period that is open @throws NoReport */
export async function askedHandover(served: Served, number: string | undefined): Promise<AskedHandover> {
  const { entries } = served.live.course();
  const all = handoversOf(entries);
  const closed = all.map(({ number: of, from, to, by, at }) => ({ number: of, from, to, by, at }));
  if (number === undefined) {
    try {
      return { number: null, page: await desk(served).page(served.live), closed };
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      throw new NoReport(409, error.message);
    }
  }
  const found = all.find((one) => one.number === Number(number));
  const page = found && z.safeParse(handoverPageSchema, { ...found.page, remarks: remarksOf(found, entries) });
  if (!page?.success) throw new NoReport(404, `number: found ${number}, expected one that is closed`);
  return { number: Number(number), page: page.data, closed };
}

export const handoverRoute: Route = {
  url: '/api/handover',
  says: 'The handover of the shift: the period that is open as it stands now, or one that was closed.',
  query: handoverQuery,
  answers: {
    200: { says: 'The page.', type: 'application/json', schema: handoverSchema },
    400: problem('The query cannot be meant.'),
    404: problem('There is no handover of this number.'),
    409: problem('There is no run yet, or what lies before the period is not at hand.'),
  },
  async handle(served, request, reply) {
    try {
      return await askedHandover(served, (request.query as z.infer<typeof handoverQuery>).number);
    } catch (error) {
      return noReport(reply, error);
    }
  },
};

export const closeHandoverRoute: Route = {
  url: '/api/handover',
  says: 'Closes the period: its page is kept as it stands, to be signed by who leaves and who comes.',
  body: { schema: bodySchema, mostBytes: 1024 },
  answers: {
    201: { says: 'It is closed.', type: 'application/json', schema: madeSchema },
    400: problem('The request cannot be meant.'),
    403: problem('It comes from a page that is not ours.'),
    409: problem('There is no run yet, it was closed meanwhile, or the journal has no room.'),
    500: problem('The journal could not be written; nothing was closed.'),
  },
  async handle(served, request, reply) {
    try {
      const { entry } = await desk(served).close(served.live, (request.body as z.infer<typeof bodySchema>).by);
      const { action: _, ...made } = entry as Extract<typeof entry, { action: 'handover' }>;
      return reply.code(201).send(made);
    } catch (error) {
      return refused(error, reply);
    }
  },
};
