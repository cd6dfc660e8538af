/** What a page sends, judged: zod on every message, whatever it holds. */
import { type PageMessage, pageMessageSchema } from '../../src/live/messages.ts';

/** @returns null for anything that is not a message of the page. */
export function parsePageMessage(data: Buffer, isBinary: boolean): PageMessage | null {
  if (isBinary) return null;
  let value: unknown;
  try {
    value = JSON.parse(data.toString('utf8'));
  } catch (error) {
    if (error instanceof SyntaxError) return null;
    throw error;
  }
  const parsed = pageMessageSchema.safeParse(value);
  return parsed.success ? parsed.data : null;
}
