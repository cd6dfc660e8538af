/** The record of a run, `jointwise-record/1`: what was expanded, joint by joint, in the plan's own units. */
import { z } from 'zod';
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
  zone: z.string().optional(),
  top: z.number(),
  bottom: z.number(),
  required: z.number(),
  expanded: z.number(),
  unproven: z.number(),
  /** 1σ of `expanded`. */
  uncertainty: z.number(),
  /** What the verdict would be within 2σ of the expanded length; left out: the same. */
  couldBe: z.array(z.enum(VERDICTS)).optional(),
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

export const eventSchema = z.object({
  kind: z.enum(EVENT_NAMES as [EventName, ...EventName[]]),
  priority: z.enum(PRIORITIES),
  joint: z.string().nullable(),
  depth: z.number().nullable(),
  from: instant,
  to: instant.nullable(),
  detail: z.string(),
  form: z.enum(EVENT_FORMS).optional(),
  acknowledged: z.object({ by: z.string(), at: instant }).optional(),
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
  events: z.array(eventSchema),
  minutes: z.partialRecord(phaseName, z.number()),
  /** Depth corrections and plan changes that the journal made, in order. */
  /** Steps of the trip with their evidence. */
  steps: z
    .array(
      z.object({
        kind: z.enum(STEP_KINDS),
        name: z.string(),
        from: instant,
        to: instant.nullable(),
        outcome: z.enum(STEP_OUTCOMES),
        detail: z.string(),
        numbers: z.array(z.object({ name: z.string(), value: z.number(), unit: z.string() })),
      }),
    )
    .optional(),
  /** How the pressure at the tool was known at the end. */
  toolPressure: z
    .object({
      losses: z.enum(['calibrated', 'model', 'none']),
      calibration: z
        .object({
          points: z.number().int(),
          rates: z.number().int(),
          scatter: z.number(),
          flowMin: z.number(),
          flowMax: z.number(),
          from: instant,
          to: instant,
        })
        .nullable(),
    })
    .optional(),
  /** What was put right on the depth, and how well it is known. */
  depth: z
    .object({
      corrected: z.enum(['not corrected', 'by the journal', 'by the tag']),
      correction: z.number(),
      uncertainty: z.number(),
    })
    .optional(),
  /** Values that stood in for what the plan leaves out: each is to be confirmed. */
  defaults: z.array(z.object({ place: z.string(), value: z.number(), unit: z.string(), what: z.string() })).optional(),
  /** What could not be worked out, and which part of the plan it needs. */
  turnedOff: z.array(z.string()).optional(),
  /** Advisory only, in words. */
  caution: z.string().optional(),
  journal: z.array(z.object({ at: instant, by: z.string(), action: z.string(), text: z.string() })).optional(),
});
export type RunRecord = z.infer<typeof recordSchema>;
export type RecordJoint = z.infer<typeof recordJointSchema>;
