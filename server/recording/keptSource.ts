/** What a run says of its source, in `link` records: first how its bytes are to be read, then every change of the link. */
import { z } from 'zod/mini';
import { FORMATS } from '../../ingest/recognise.ts';
import { LINKS } from '../../src/live/messages.ts';

const sourceSchema = z.object({
  kind: z.literal('source'),
  name: z.string(),
  /** Null: recognised from the first bytes. */
  format: z.nullable(z.enum(FORMATS)),
  /** `none`: a recorded stream, whose bytes have no arrival of their own that means anything. */
  arrival: z.enum(['clock', 'none']),
  /** What becomes of a depth tag: before people who watch it waits to be confirmed, in an imported stream it is applied. */
  tag: z.enum(['offer', 'apply']),
  /** The request that was sent where polling was on, so that its echo is no frame. */
  pollPayload: z.optional(z.string()),
});
export type KeptSource = z.infer<typeof sourceSchema>;

const linkSchema = z.object({ kind: z.literal('link'), link: z.enum(LINKS), detail: z.string() });
export type KeptLink = z.infer<typeof linkSchema>;

/** Null for what is no such record, or is of another one. */
export function readKeptSource(bytes: Uint8Array): KeptSource | null {
  try {
    const text = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length).toString('utf8');
    return sourceSchema.safeParse(JSON.parse(text)).data ?? null;
  } catch (error) {
    if (error instanceof SyntaxError) return null;
    throw error;
  }
}
