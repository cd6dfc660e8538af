/** The journal: JSON Lines of what people did, in order. */
import { z } from 'zod/mini';
import { planSchema } from '../plan/planSchema.ts';

const head = { at: z.iso.datetime({ offset: true }), by: z.string().check(z.trim(), z.minLength(1), z.maxLength(100)) };
const text = z.string().check(z.maxLength(4000));

const setDepthSchema = z.object({ ...head, action: z.literal('set depth'), tool: z.string(), depth: z.number() });
const acknowledgeSchema = z.object({
  ...head,
  action: z.literal('acknowledge'),
  event: z.union([
    z.string(),
    z.object({ kind: z.string(), from: z.optional(z.iso.datetime()), joint: z.optional(z.string()) }),
  ]),
  /** What was found or done; asked for where `asksReason` of src/events.ts says so. */
  reason: z.optional(text),
});
/** A ball of the plan is let go. */
const dropBallSchema = z.object({ ...head, action: z.literal('drop ball'), ball: z.string() });
const noteIdSchema = z.string().check(z.regex(/^[0-9a-z]{1,32}$/));
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
  depth: z.optional(z.number()),
  joint: z.optional(z.string().check(z.maxLength(200))),
  time: z.optional(z.iso.datetime({ offset: true })),
  /** Chosen by who writes it, once in a run. */
  id: z.optional(noteIdSchema),
  edits: z.optional(z.array(noteIdSchema).check(z.minLength(1), z.maxLength(MOST_FOLLOWED))),
  takenBack: z.optional(z.literal(true)),
});

const acceptSchema = z.object({
  ...head,
  action: z.literal('accept'),
  joint: z.string(),
  reason: z._default(text, ''),
});
const rejectSchema = z.object({
  ...head,
  action: z.literal('reject'),
  joint: z.string(),
  reason: z._default(text, ''),
});
const changePlanSchema = z.object({
  ...head,
  action: z.literal('change plan'),
  plan: planSchema,
  reason: z.optional(text),
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
const why = text.check(z.trim(), z.minLength(1));

/**
 * What may be entered while the trip goes on. It takes effect behind the newest sample and bears that instant: an `at` that
 * comes with it is replaced, so that a clock that is wrong puts nothing in the wrong place.
 */
export const postedEntrySchema = z.discriminatedUnion('action', [
  // `confirms`: the step of the depth tag that is meant; refused where that one no longer waits, since by then the same depth
  // would say something else.
  z.extend(z.partial(setDepthSchema, { at: true }), { confirms: z.optional(z.int()) }),
  z.partial(acknowledgeSchema, { at: true }),
  z.partial(noteSchema, { at: true }),
  z.partial(dropBallSchema, { at: true }),
  z.extend(z.partial(acceptSchema, { at: true }), { reason: why }),
  z.extend(z.partial(rejectSchema, { at: true }), { reason: why }),
  z.extend(z.partial(changePlanSchema, { at: true }), { reason: why }),
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
