/** The record of a run, `jointwise-record/1`: what was expanded, joint by joint, in the plan's own units. */
import { z } from 'zod';
import { GAP_CAUSES, VERDICTS } from '../causes.ts';
import { EVENT_NAMES, type EventName, PRIORITIES } from '../events.ts';
import { PHASE_NAMES, type PhaseName } from '../phases.ts';
import { JOINT_KINDS, unitSystemSchema } from '../plan/planSchema.ts';

export const RECORD_FORMAT = 'jointwise-record/1';

const instant = z.iso.datetime();
const phaseName = z.enum(PHASE_NAMES as [PhaseName, ...PhaseName[]]);

export const gapSchema = z.object({ from: z.number(), to: z.number(), cause: z.enum(GAP_CAUSES) });

export const recordJointSchema = z.object({
  name: z.string(),
  kind: z.enum(JOINT_KINDS),
  zone: z.string().optional(),
  top: z.number(),
  bottom: z.number(),
  required: z.number(),
  expanded: z.number(),
  unproven: z.number(),
  /** 1σ of `expanded`. */
  uncertainty: z.number(),
  coverage: z.number(),
  longestGap: z.number(),
  verdict: z.enum(VERDICTS),
  gaps: z.array(gapSchema),
  pressure: z.object({ min: z.number(), mean: z.number(), max: z.number() }).nullable(),
  feed: z.object({ mean: z.number() }).nullable(),
  passes: z.number().int(),
  stalls: z.number().int(),
  minutes: z.number(),
  startedAt: instant.nullable(),
  finishedAt: instant.nullable(),
  /** What a person decided on the joint, from the journal. */
  decision: z
    .object({ action: z.enum(['accept', 'reject']), by: z.string(), at: instant, reason: z.string() })
    .optional(),
});

export const recordSchema = z.object({
  format: z.literal(RECORD_FORMAT),
  units: unitSystemSchema,
  source: z.object({
    frames: z.number().int(),
    rejected: z.number().int(),
    from: instant,
    to: instant,
    /** What was refused, by reason. */
    reasons: z.record(z.string(), z.number().int()),
  }),
  joints: z.array(recordJointSchema),
  phases: z.array(z.object({ phase: phaseName, joint: z.string().nullable(), from: instant, to: instant })),
  events: z.array(
    z.object({
      kind: z.enum(EVENT_NAMES as [EventName, ...EventName[]]),
      priority: z.enum(PRIORITIES),
      joint: z.string().nullable(),
      depth: z.number().nullable(),
      from: instant,
      to: instant.nullable(),
      detail: z.string(),
      acknowledged: z.object({ by: z.string(), at: instant }).optional(),
    }),
  ),
  minutes: z.partialRecord(phaseName, z.number()),
  /** Depth corrections and plan changes that the journal made, in order. */
  journal: z.array(z.object({ at: instant, by: z.string(), action: z.string(), text: z.string() })).optional(),
});
export type RunRecord = z.infer<typeof recordSchema>;
export type RecordJoint = z.infer<typeof recordJointSchema>;
