/** The time of a run: every millisecond in exactly one activity, by days as the rig counts them. Sums are exact. */
import { z } from 'zod/mini';
import { PHASE_NAMES, type PhaseName } from '../phases.ts';
import { ACTIVITY_NAMES } from './activities.ts';
import { TIME_DEFAULTS } from './timePlan.ts';

const instant = z.iso.datetime({ offset: true });
const ms = z.int();
const activity = z.enum(ACTIVITY_NAMES);

export const timeStretchSchema = z.object({
  activity,
  phase: z.enum(PHASE_NAMES as [PhaseName, ...PhaseName[]]),
  joint: z.nullable(z.string()),
  from: instant,
  to: instant,
  ms,
  /** Null: not lost. */
  lost: z.nullable(z.object({ code: z.string(), reason: z.string(), by: z.string() })),
});
export type TimeStretch = z.infer<typeof timeStretchSchema>;

const sumSchema = z.object({ activity, ms, lostMs: ms });

export const timeSheetSchema = z.object({
  /** The run: first and last sample. */
  from: instant,
  to: instant,
  /** Time of day, rig time. */
  dayCut: z.string(),
  days: z.array(
    z.object({
      /** On which the day begins. */
      date: z.iso.date(),
      /** Rig time, with its distance from UTC. */
      from: instant,
      to: instant,
      /** 24 h, or 23 or 25 where the clocks were changed. */
      lengthMs: ms,
      /** Of this day before the run began or after it ended: with the sums, the day's length. */
      outsideMs: ms,
      sums: z.array(sumSchema),
      stretches: z.array(timeStretchSchema),
    }),
  ),
  /** Of the whole run, in the order of the table of activities; those that came or were planned. */
  totals: z.array(z.object({ ...sumSchema.shape, plannedMs: z.nullable(ms) })),
  lost: z.array(z.object({ code: z.string(), says: z.nullable(z.string()), ms })),
  lostMs: ms,
  /** The work stood, and nobody has said why. */
  uncoded: z.array(timeStretchSchema),
  codes: z.array(z.object({ code: z.string(), says: z.string() })),
  /** What the plan leaves out of its part `time`, and what is used for it: to be confirmed. */
  defaults: z.array(
    z.object({ place: z.enum(Object.keys(TIME_DEFAULTS).map((key) => `time.${key}`) as [string]), value: z.string() }),
  ),
});
export type TimeSheet = z.infer<typeof timeSheetSchema>;
