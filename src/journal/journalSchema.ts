/** The journal: JSON Lines of what people did, in order. */
import { z } from 'zod';
import { handoverEntrySchema, handoverRemarksEntrySchema, postedRemarksSchema } from '../handover/handoverEntry.ts';
import { planSchema } from '../plan/planSchema.ts';
import { signEntrySchema } from '../signing/signEntry.ts';
import { postedTimeCodeSchema, timeCodeEntrySchema } from '../time/timeEntry.ts';

const head = { at: z.iso.datetime({ offset: true }), by: z.string().trim().min(1).max(100) };
const text = z.string().max(4000);

const setDepthSchema = z.object({ ...head, action: z.literal('set depth'), tool: z.string(), depth: z.number() });
const acknowledgeSchema = z.object({
  ...head,
  action: z.literal('acknowledge'),
  event: z.union([
    z.string(),
    z.object({ kind: z.string(), from: z.iso.datetime().optional(), joint: z.string().optional() }),
  ]),
});
/** A ball of the plan is let go. */
const dropBallSchema = z.object({ ...head, action: z.literal('drop ball'), ball: z.string() });
const noteSchema = z.object({
  ...head,
  action: z.literal('note'),
  text,
  depth: z.number().optional(),
  time: z.iso.datetime({ offset: true }).optional(),
});

const acceptSchema = z.object({ ...head, action: z.literal('accept'), joint: z.string(), reason: text.default('') });
const rejectSchema = z.object({ ...head, action: z.literal('reject'), joint: z.string(), reason: text.default('') });
const changePlanSchema = z.object({
  ...head,
  action: z.literal('change plan'),
  plan: planSchema,
  reason: text.optional(),
});

export const journalEntrySchema = z.discriminatedUnion('action', [
  setDepthSchema,
  acknowledgeSchema,
  acceptSchema,
  rejectSchema,
  noteSchema,
  dropBallSchema,
  changePlanSchema,
  signEntrySchema,
  timeCodeEntrySchema,
  handoverRemarksEntrySchema,
  handoverEntrySchema,
]);
export type JournalEntry = z.infer<typeof journalEntrySchema>;

/** What only the service itself writes, once it has judged who asks for it. */
export type MadeEntry = WithoutAt<Extract<JournalEntry, { action: 'sign' | 'handover' }>>;
type WithoutAt<Entry> = Entry extends { at: string } ? Omit<Entry, 'at'> : never;

export const JOURNAL_LIMITS = { bytes: 64 * 1024 * 1024, lineBytes: 5 * 1024 * 1024 } as const;

/** What is decided while the trip goes on says why. */
const why = text.trim().min(1);

/**
 * What may be entered while the trip goes on. It takes effect behind the newest sample and bears that instant: an `at` that
 * comes with it is replaced, so that a clock that is wrong puts nothing in the wrong place.
 */
export const postedEntrySchema = z.discriminatedUnion('action', [
  // `confirms`: the step of the depth tag that is meant; refused where that one no longer waits, since by then the same depth
  // would say something else.
  setDepthSchema.partial({ at: true }).extend({ confirms: z.number().int().optional() }),
  acknowledgeSchema.partial({ at: true }),
  noteSchema.partial({ at: true }),
  dropBallSchema.partial({ at: true }),
  acceptSchema.partial({ at: true }).extend({ reason: why }),
  rejectSchema.partial({ at: true }).extend({ reason: why }),
  changePlanSchema.partial({ at: true }).extend({ reason: why }),
  postedTimeCodeSchema,
  postedRemarksSchema,
]);
export type PostedEntry = z.infer<typeof postedEntrySchema>;

export const POSTED_LIMITS = {
  /** One entry as it is posted: a plan of a thousand joints has some 150 kB. */
  bytes: 1024 * 1024,
  /** Entered in one run. */
  entries: 10_000,
  /** Depths of a tool that may be set, m: no well is deeper. */
  depthM: 15_000,
} as const;

/** What came of an entry. */
export const enteredSchema = z.object({
  entry: journalEntrySchema,
  effect: z.string(),
  /** In the recorded run, in the journal's file, or, where neither was named, in memory for as long as the service runs. */
  kept: z.enum(['run', 'file', 'memory']),
});
export type Entered = z.infer<typeof enteredSchema>;
