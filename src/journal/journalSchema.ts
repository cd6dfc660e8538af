/** The journal: JSON Lines of what people did, in order. */
import { z } from 'zod';
import { planSchema } from '../plan/planSchema.ts';

const head = { at: z.iso.datetime({ offset: true }), by: z.string().trim().min(1).max(100) };
const text = z.string().max(4000);

export const journalEntrySchema = z.discriminatedUnion('action', [
  z.object({ ...head, action: z.literal('set depth'), tool: z.string(), depth: z.number() }),
  z.object({
    ...head,
    action: z.literal('acknowledge'),
    event: z.union([
      z.string(),
      z.object({ kind: z.string(), from: z.iso.datetime().optional(), joint: z.string().optional() }),
    ]),
  }),
  z.object({ ...head, action: z.literal('accept'), joint: z.string(), reason: text.default('') }),
  z.object({ ...head, action: z.literal('reject'), joint: z.string(), reason: text.default('') }),
  z.object({
    ...head,
    action: z.literal('note'),
    text,
    depth: z.number().optional(),
    time: z.iso.datetime({ offset: true }).optional(),
  }),
  z.object({ ...head, action: z.literal('change plan'), plan: planSchema }),
]);
export type JournalEntry = z.infer<typeof journalEntrySchema>;
export const JOURNAL_LIMITS = { bytes: 64 * 1024 * 1024, lineBytes: 5 * 1024 * 1024 } as const;
