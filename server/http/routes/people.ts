import type { FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod/mini';
import { Fault, invariant } from '../../../src/fault.ts';
import { ROLE_NAMES, ROLES, type RoleName } from '../../../src/signing/roles.ts';
import { SUBJECT_NAMES } from '../../../src/signing/subjects.ts';
import type { Named, Recognised } from '../../signing/people.ts';
import { nameSchema } from '../../signing/peopleFile.ts';
import { SECRET_LIMITS, secretProblem } from '../../signing/secretHash.ts';
import type { SignDesk } from '../../signing/signDesk.ts';
import { isLoopback } from '../admission.ts';
import { problem } from '../problem.ts';
import type { Route, Served } from '../route.ts';

const personSchema = z.object({ name: z.string(), role: z.enum(ROLE_NAMES) });
const peopleSchema = z.object({
  people: z.array(personSchema),
  /** Roles, and what each may sign. */
  roles: z.array(z.object({ role: z.enum(ROLE_NAMES), signs: z.array(z.enum(SUBJECT_NAMES)) })),
  /** Whether they are still known when the service is started again. */
  kept: z.boolean(),
});

/** Whoever asks with a secret. Longer ones than are ever chosen are not even tried. */
export const claimSchema = z.object({
  name: nameSchema,
  secret: z.string().check(z.minLength(1), z.maxLength(2 * SECRET_LIMITS.most)),
});
const bodySchema = z.object({
  ...claimSchema.shape,
  role: z.enum(ROLE_NAMES),
  /** One who is there already and vouches for the new one; not needed for the first. */
  by: z.optional(claimSchema),
});

/** What the answers have in common that ask for a secret. */
export const CLAIM_PROBLEMS = {
  401: problem('Nobody of this name has this secret.'),
  429: problem('Too many secrets were wrong: the header Retry-After says for how many seconds no other is looked at.'),
  503: problem('Too many ask at once.'),
} as const;

export function deskOf({ signing }: Served): SignDesk {
  invariant(signing !== undefined, 'a service has a desk to sign at');
  return signing;
}

/** Undefined: the answer has been given. */
export function personOf(recognised: Recognised, reply: FastifyReply): Named | undefined {
  const refuse = (code: number, error: string) => void reply.code(code).send({ error });
  switch (recognised.kind) {
    case 'person':
      return recognised.person;
    case 'nobody':
      refuse(401, 'name and secret: found nobody, expected one of the people who may sign');
      return undefined;
    case 'wait': {
      const seconds = Math.ceil(recognised.waitMs / 1000);
      reply.header('retry-after', String(seconds));
      refuse(429, `too many secrets were wrong: the next is looked at in ${seconds} s`);
      return undefined;
    }
    case 'busy':
      refuse(503, 'too many ask at once, expected to be asked again');
      return undefined;
  }
}

export const peopleRoute: Route = {
  url: '/api/people',
  says: 'The people who may sign, by name and role, and what each role signs.',
  answers: { 200: { says: 'The people.', type: 'application/json', schema: peopleSchema } },
  handle(served): z.infer<typeof peopleSchema> {
    const { people } = deskOf(served);
    const roles = ROLE_NAMES.map((role) => ({ role, signs: [...ROLES[role]] }));
    return { people: people.list(), roles, kept: people.isKept };
  },
};

export const addPersonRoute: Route = {
  url: '/api/people',
  says: 'Adds a person who may sign: the first from this machine itself, every other by one who is there already.',
  body: { schema: bodySchema, mostBytes: 4096 },
  answers: {
    201: { says: 'The person may sign from now on.', type: 'application/json', schema: personSchema },
    400: problem('The person cannot be meant.'),
    ...CLAIM_PROBLEMS,
    403: problem('The first person is entered on the machine of the service itself, or the page is not ours.'),
    409: problem('There is a person of this name, or no room for another.'),
    500: problem('The people could not be written; nobody was added.'),
  },
  async handle(served, request, reply) {
    const { people } = deskOf(served);
    const { name, role, secret, by } = request.body as z.infer<typeof bodySchema>;
    const wrong = secretProblem(secret);
    if (wrong !== null) return reply.code(400).send({ error: wrong });
    const voucher = by && personOf(await people.recognise(by.name, by.secret), reply);
    if (by && !voucher) return reply;
    const refusal = voucher ? null : firstProblem(people.list(), request);
    if (refusal !== null) return reply.code(403).send({ error: refusal });
    return add(served, { name, role, secret, addedBy: voucher?.name ?? null }, reply);
  },
};

function firstProblem(people: readonly Named[], { socket }: FastifyRequest): string | null {
  if (people.length > 0) return 'by: found nobody, expected the name and secret of one who is there already';
  const address = (socket.remoteAddress ?? '').replace(/^::ffff:/i, '');
  return isLoopback(address) ? null : 'the first person: expected to be entered on the machine of the service itself';
}

async function add(
  served: Served,
  person: { name: string; role: RoleName; secret: string; addedBy: string | null },
  reply: FastifyReply,
): Promise<FastifyReply> {
  try {
    const added = await deskOf(served).people.add({ ...person, mustBeFirst: person.addedBy === null });
    if (added.kind === 'added') return reply.code(201).send(added.person);
    const expected =
      added.kind === 'known already' ? 'another name' : added.kind === 'too many' ? 'fewer' : 'nobody yet';
    return reply.code(409).send({ error: `name: found ${added.kind}, expected ${expected}` });
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    return reply.code(500).send({ error: error.message });
  }
}
