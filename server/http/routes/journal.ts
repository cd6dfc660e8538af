import { asksReason } from '../../../src/events.ts';
import { Fault } from '../../../src/fault.ts';
import {
  enteredSchema,
  POSTED_LIMITS,
  type PostedEntry,
  postedEntrySchema,
} from '../../../src/journal/journalSchema.ts';
import { planProblems } from '../../../src/plan/job.ts';
import type { Plan } from '../../../src/plan/planSchema.ts';
import { converter } from '../../../src/units.ts';
import { shown } from '../../plan/schemaFaults.ts';
import { problem } from '../problem.ts';
import type { Route } from '../route.ts';

function among(place: string, name: string, names: readonly string[]): string | null {
  if (names.includes(name)) return null;
  return `${place}: found ${shown(name)}, expected ${names.length > 0 ? `one of ${names.join(', ')}` : 'none: the plan has none'}`;
}

/** What the schema cannot say; null: nothing is wrong. */
function entryProblem(entry: PostedEntry, plan: Plan): string | null {
  if (entry.action === 'drop ball')
    return among(
      'ball',
      entry.ball,
      (plan.balls ?? []).map(({ name }) => name),
    );
  if (entry.action === 'accept' || entry.action === 'reject') {
    const names = plan.liner.joints.map(({ name }) => name);
    return among('joint', entry.joint, names);
  }
  if (entry.action === 'change plan') {
    const first = planProblems(entry.plan)[0];
    return first ? `plan.${first.path}: ${first.text}` : null;
  }
  if (entry.action === 'acknowledge') return acknowledgeProblem(entry);
  if (entry.action === 'note') return pinProblem(entry, plan);
  const unknown = among(
    'tool',
    entry.tool,
    plan.tools.map(({ name }) => name),
  );
  return unknown ?? depthProblem(entry.depth, plan);
}

function acknowledgeProblem({ event, reason = '' }: Extract<PostedEntry, { action: 'acknowledge' }>): string | null {
  const kind = typeof event === 'string' ? event : event.kind;
  if (!asksReason(kind) || reason.trim() !== '') return null;
  return `reason: found nothing, expected what was found or done: ${kind} is never waved through`;
}

/** Where a note is pinned must be in the run's own well. */
function pinProblem({ joint, depth }: Extract<PostedEntry, { action: 'note' }>, plan: Plan): string | null {
  const names = plan.liner.joints.map(({ name }) => name);
  const unknown = joint === undefined ? null : among('joint', joint, names);
  return unknown ?? (depth === undefined ? null : depthProblem(depth, plan));
}

function depthProblem(depth: number, plan: Plan): string | null {
  const units = converter(plan.units);
  const most = units.out('length', POSTED_LIMITS.depthM);
  if (depth >= 0 && depth <= most) return null;
  return `depth: found ${shown(depth)}, expected a depth between 0 and ${most.toFixed(0)} ${units.label('length')}`;
}

export const journalRoute: Route = {
  url: '/api/journal',
  says: 'Enters into the journal what has just been done. It takes effect behind the newest sample and bears that instant.',
  body: { schema: postedEntrySchema, mostBytes: POSTED_LIMITS.bytes },
  answers: {
    201: { says: 'It is entered; what came of it.', type: 'application/json', schema: enteredSchema },
    400: problem('The entry cannot be meant.'),
    403: problem('It comes from a page that is not ours.'),
    409: problem(
      'There is no run yet, the depth tag no longer waits, a note follows none of this run, or the journal has no room.',
    ),
    413: problem('The entry is too long.'),
    415: problem('It is not JSON.'),
    500: problem('The journal could not be written; nothing was entered.'),
  },
  async handle({ live }, request, reply) {
    const posted = request.body as PostedEntry;
    const wrong = entryProblem(posted, live.plan);
    if (wrong !== null) return reply.code(400).send({ error: wrong });
    try {
      return reply.code(201).send(await live.enter(posted));
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      return reply.code(error.code === 'cannot write' ? 500 : 409).send({ error: error.message });
    }
  },
};
