/** Lost time, as the journal holds it: a stretch of the run gets a cause code, or loses it. */
import { z } from 'zod/mini';

export const CODE_CHARACTERS = 32;
export const codeSchema = z.string().check(z.trim(), z.minLength(1), z.maxLength(CODE_CHARACTERS));

export const timeCodeEntrySchema = z.object({
  at: z.iso.datetime({ offset: true }),
  by: z.string().check(z.trim(), z.minLength(1), z.maxLength(100)),
  action: z.literal('time code'),
  from: z.iso.datetime({ offset: true }),
  to: z.iso.datetime({ offset: true }),
  /** Null: the time was not lost after all. */
  code: z.nullable(codeSchema),
  reason: z.string().check(z.trim(), z.minLength(1), z.maxLength(4000)),
});
export type TimeCodeEntry = z.infer<typeof timeCodeEntrySchema>;

export const postedTimeCodeSchema = z.partial(timeCodeEntrySchema, { at: true });
