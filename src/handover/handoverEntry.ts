/** The handover of a shift as the journal holds it: what was said, and the page that closed the period. */
import { z } from 'zod/mini';

const head = {
  at: z.iso.datetime({ offset: true }),
  by: z.string().check(z.trim(), z.minLength(1), z.maxLength(100)),
};

/** The remarks as they stand from now on: of the period that is open, or, with its number, of a handover that is closed. */
export const handoverRemarksEntrySchema = z.object({
  ...head,
  action: z.literal('handover remarks'),
  text: z.string().check(z.maxLength(4000)),
  handover: z.optional(z.int().check(z.minimum(1))),
});
export type HandoverRemarksEntry = z.infer<typeof handoverRemarksEntrySchema>;
export const postedRemarksSchema = z.partial(handoverRemarksEntrySchema, { at: true });

export const handoverEntrySchema = z.object({
  ...head,
  action: z.literal('handover'),
  number: z.int().check(z.minimum(1)),
  from: z.iso.datetime({ offset: true }),
  to: z.iso.datetime({ offset: true }),
  /** As it was worked out then, `handoverPageSchema`: what people signed stays what they read. */
  page: z.record(z.string(), z.unknown()),
});
export type HandoverEntry = z.infer<typeof handoverEntrySchema>;
