/** The record of a run, `jointwise-record/1`: what was expanded, joint by joint, in the plan's own units. */
import { z } from 'zod/mini';
import { GAP_CAUSES, VERDICTS } from '../causes.ts';
import { EVENT_FORMS, EVENT_NAMES, type EventName, PRIORITIES } from '../events.ts';
import { PHASE_NAMES, type PhaseName } from '../phases.ts';
import { JOINT_KINDS, unitSystemSchema } from '../plan/planSchema.ts';
import { STEP_KINDS, STEP_OUTCOMES } from '../steps.ts';
import { RECORD_FORMAT } from './recordFormat.ts';

export { RECORD_FORMAT };

const instant = z.iso.datetime();
const phaseName = z.enum(PHASE_NAMES as [PhaseName, ...PhaseName[]]);

export const gapSchema = z.object({ from: z.number(), to: z.number(), cause: z.enum(GAP_CAUSES) });

export const recordJointSchema = z.object({
  name: z.string(),
  kind: z.enum(JOINT_KINDS),
  zone: z.optional(z.string()),
  top: z.number(),
  bottom: z.number(),
  required: z.number(),
  expanded: z.number(),
  unproven: z.number(),
  /** 1σ of `expanded`. */
  uncertainty: z.number(),
  /** What the verdict would be within 2σ of the expanded length; left out: the same. */
  couldBe: z.optional(z.array(z.enum(VERDICTS))),
  coverage: z.number(),
  longestGap: z.number(),
  verdict: z.enum(VERDICTS),
  gaps: z.array(gapSchema),
  pressure: z.nullable(z.object({ min: z.number(), mean: z.number(), max: z.number() })),
  feed: z.nullable(z.object({ mean: z.number() })),
  passes: z.int(),
  stalls: z.int(),
  minutes: z.number(),
  startedAt: z.nullable(instant),
  finishedAt: z.nullable(instant),
  /** What a person decided on the joint, from the journal. */
  decision: z.optional(
    z.object({ action: z.enum(['accept', 'reject']), by: z.string(), at: instant, reason: z.string() }),
  ),
});

export const eventSchema = z.object({
  kind: z.enum(EVENT_NAMES as [EventName, ...EventName[]]),
  priority: z.enum(PRIORITIES),
  joint: z.nullable(z.string()),
  depth: z.nullable(z.number()),
  from: instant,
  to: z.nullable(instant),
  detail: z.string(),
  form: z.optional(z.enum(EVENT_FORMS)),
  acknowledged: z.optional(z.object({ by: z.string(), at: instant })),
});

export const recordSchema = z.object({
  format: z.literal(RECORD_FORMAT),
  units: unitSystemSchema,
  source: z.object({
    frames: z.int(),
    rejected: z.int(),
    from: instant,
    to: instant,
    /** What was refused, by reason. */
    reasons: z.record(z.string(), z.int()),
  }),
  joints: z.array(recordJointSchema),
  phases: z.array(z.object({ phase: phaseName, joint: z.nullable(z.string()), from: instant, to: instant })),
  events: z.array(eventSchema),
  minutes: z.partialRecord(phaseName, z.number()),
  /** Depth corrections and plan changes that the journal made, in order. */
  /** Steps of the trip with their evidence. */
  steps: z.optional(
    z.array(
      z.object({
        kind: z.enum(STEP_KINDS),
        name: z.string(),
        from: instant,
        to: z.nullable(instant),
        outcome: z.enum(STEP_OUTCOMES),
        detail: z.string(),
        numbers: z.array(z.object({ name: z.string(), value: z.number(), unit: z.string() })),
      }),
    ),
  ),
  /** How the pressure at the tool was known at the end. */
  toolPressure: z.optional(
    z.object({
      losses: z.enum(['calibrated', 'model', 'none']),
      calibration: z.nullable(
        z.object({
          points: z.int(),
          rates: z.int(),
          scatter: z.number(),
          flowMin: z.number(),
          flowMax: z.number(),
          from: instant,
          to: instant,
        }),
      ),
    }),
  ),
  /** What was put right on the depth, and how well it is known. */
  depth: z.optional(
    z.object({
      corrected: z.enum(['not corrected', 'by the journal', 'by the tag']),
      correction: z.number(),
      uncertainty: z.number(),
    }),
  ),
  /** Values that stood in for what the plan leaves out: each is to be confirmed. */
  defaults: z.optional(z.array(z.object({ place: z.string(), value: z.number(), unit: z.string(), what: z.string() }))),
  /** What could not be worked out, and which part of the plan it needs. */
  turnedOff: z.optional(z.array(z.string())),
  /** Advisory only, in words. */
  caution: z.optional(z.string()),
  journal: z.optional(z.array(z.object({ at: instant, by: z.string(), action: z.string(), text: z.string() }))),
});
export type RunRecord = z.infer<typeof recordSchema>;
export type RecordJoint = z.infer<typeof recordJointSchema>;
