import { z } from 'zod/mini';
import { Fault } from '../../../src/fault.ts';
import { KEPT_LIMITS, keptScenarioSchema, keptScenariosSchema } from '../../../src/replay/keptScenario.ts';
import { SCENARIO_LIMITS, scenarioFromText, scenarioProblems } from '../../../src/replay/scenario.ts';
import type { StoreAnswer } from '../../scenarios/scenarioStore.ts';
import { problem } from '../problem.ts';
import type { Route } from '../route.ts';

const MOST_BYTES = 4 * SCENARIO_LIMITS.linkChars;

const keepSchema = z.object({
  /** Of the one that is to be another, or be called otherwise; left out: it is a new one. */
  id: z.optional(z.int().check(z.positive())),
  by: z.string().check(z.trim(), z.minLength(1), z.maxLength(KEPT_LIMITS.byChars)),
  text: z.string().check(z.minLength(1), z.maxLength(SCENARIO_LIMITS.linkChars)),
});
const removeSchema = z.object({ id: z.int().check(z.positive()) });

const REFUSALS = {
  400: problem('The scenario cannot be meant.'),
  403: problem('It comes from a page that is not ours.'),
  404: problem('No scenario of this id is kept.'),
  409: problem('Another of this name is kept, or there is no room.'),
  413: problem('It is too long.'),
  415: problem('It is not JSON.'),
  500: problem('It could not be written; nothing was changed.'),
};

const CODES = { kept: 201, removed: 200, refused: 409, unknown: 404 } as const;

async function answered(reply: Parameters<Route['handle']>[2], work: () => Promise<StoreAnswer>): Promise<unknown> {
  try {
    const answer = await work();
    const said = answer.kind === 'kept' ? answer.scenario : answer.kind === 'removed' ? {} : { error: answer.why };
    return reply.code(CODES[answer.kind]).send(said);
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    return reply.code(500).send({ error: error.message });
  }
}

const scenariosRoute: Route = {
  url: '/api/scenarios',
  says: 'The scenarios that people keep beside the run: questions asked of it, never part of its record.',
  answers: { 200: { says: 'The scenarios.', type: 'application/json', schema: keptScenariosSchema } },
  handle: ({ scenarios, live }) => scenarios.of(live).list(),
};

const keepScenarioRoute: Route = {
  url: '/api/scenarios/keep',
  says: 'Keeps a scenario for everyone, or gives one that is kept another name or other changes. The run stays as it is.',
  body: { schema: keepSchema, mostBytes: MOST_BYTES },
  answers: { 201: { says: 'It is kept.', type: 'application/json', schema: keptScenarioSchema }, ...REFUSALS },
  handle({ scenarios, live }, request, reply) {
    const { id, by, text } = request.body as z.infer<typeof keepSchema>;
    const scenario = scenarioFromText(text);
    if (!scenario || scenario.name.trim() === '')
      return reply.code(400).send({ error: 'text: found no scenario with a name, expected one as in a link' });
    const wrong = scenarioProblems(live.course().plan, scenario)[0];
    if (wrong) return reply.code(400).send({ error: `${wrong.path}: ${wrong.text}` });
    return answered(reply, () => scenarios.of(live).keep(id ?? null, { ...scenario, name: scenario.name.trim() }, by));
  },
};

const removeScenarioRoute: Route = {
  url: '/api/scenarios/remove',
  says: 'Removes a scenario that is kept. The run stays as it is.',
  body: { schema: removeSchema, mostBytes: 256 },
  answers: { 200: { says: 'It is removed.', type: 'application/json', schema: z.object({}) }, ...REFUSALS },
  handle: ({ scenarios, live }, request, reply) =>
    answered(reply, () => scenarios.of(live).remove((request.body as z.infer<typeof removeSchema>).id)),
};

export const SCENARIO_ROUTES: readonly Route[] = [scenariosRoute, keepScenarioRoute, removeScenarioRoute];
