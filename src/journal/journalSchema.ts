/** The journal: JSON Lines of what people did, in order. */
import { z } from 'zod';
import { planSchema } from '../plan/planSchema.ts';

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
  /** What was found or done; asked for where `asksReason` of src/events.ts says so. */
  reason: text.optional(),
});
/** A ball of the plan is let go. */
const dropBallSchema = z.object({ ...head, action: z.literal('drop ball'), ball: z.string() });
const noteIdSchema = z.string().regex(/^[0-9a-z]{1,32}$/);
/** Versions that one edit may follow: it settles as many that were written at the same time. */
const MOST_FOLLOWED = 8;
/**
 * Pinned to a depth (units of the plan), a joint or a time; without any of them, to its own instant. A note is never changed:
 * an edit is a new one that names those it follows, and so is taking it back (src/journal/notes.ts).
 */
const noteSchema = z.object({
  ...head,
  action: z.literal('note'),
  text,
  depth: z.number().optional(),
  joint: z.string().max(200).optional(),
  time: z.iso.datetime({ offset: true }).optional(),
  /** Chosen by who writes it, once in a run. */
  id: noteIdSchema.optional(),
  edits: z.array(noteIdSchema).min(1).max(MOST_FOLLOWED).optional(),
  takenBack: z.literal(true).optional(),
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
]);
export type JournalEntry = z.infer<typeof journalEntrySchema>;
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
