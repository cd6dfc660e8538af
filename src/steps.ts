/**
 * Steps of the trip that are proven by evidence and belong in the record with their numbers: a ball on its seat, a pressure
 * step held, a push and pull, an annulus test, a release, a depth tag, a sub opened.
 */
import { z } from 'zod/mini';
import { measuredTextSchema, measureSchema } from './measuredText.ts';

export const STEP_KINDS = [
  'ball',
  'pressure step',
  'push and pull',
  'annulus test',
  'release',
  'depth tag',
  'sub opened',
] as const;
export type StepKind = (typeof STEP_KINDS)[number];

/** `open`: underway; `passed`, `failed`: judged; `not proven`: it ended, and the readings cannot tell. */
export const STEP_OUTCOMES = ['open', 'passed', 'failed', 'not proven'] as const;
export type StepOutcome = (typeof STEP_OUTCOMES)[number];

export const stepSchema = z.object({
  id: z.int(),
  kind: z.enum(STEP_KINDS),
  name: z.string(),
  fromMs: z.number(),
  toMs: z.nullable(z.number()),
  outcome: z.enum(STEP_OUTCOMES),
  detail: measuredTextSchema,
  numbers: z.array(z.object({ name: z.string(), value: measureSchema })),
});
export type Step = z.infer<typeof stepSchema>;
export type StepNumber = Step['numbers'][number];
