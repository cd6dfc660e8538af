/** Asks the service of this page about its library, and for what is to be done with it. */
import { z } from 'zod/mini';

const ANSWER_WITHIN_MS = 120_000;
const refusedSchema = z.object({ error: z.string() });

async function answerOf<T>(schema: z.ZodMiniType<T>, answer: Response): Promise<T> {
  const body: unknown = await answer.json().catch(() => null);
  if (answer.ok) {
    const judged = schema.safeParse(body);
    if (judged.success) return judged.data;
    throw new Error('the service answered something else than was asked for');
  }
  const refused = refusedSchema.safeParse(body);
  throw new Error(refused.success ? refused.data.error : `the service answered ${answer.status}`);
}

async function asked(url: string, init: RequestInit): Promise<Response> {
  try {
    return await fetch(url, { ...init, signal: AbortSignal.timeout(ANSWER_WITHIN_MS) });
  } catch (fault) {
    throw new Error(`the service did not answer (${fault instanceof Error ? fault.name : 'unknown'})`);
  }
}

/** Rejects with one line for a person when it is refused. */
export const askLibrary = async <T>(schema: z.ZodMiniType<T>, url: string): Promise<T> =>
  answerOf(schema, await asked(url, {}));

/** The same for something that is to be done. @param body JSON, or bytes as they are */
export async function orderLibrary<T>(schema: z.ZodMiniType<T>, url: string, body: object | Blob): Promise<T> {
  const isBytes = body instanceof Blob;
  return answerOf(
    schema,
    await asked(url, {
      method: 'POST',
      headers: { 'content-type': isBytes ? 'application/octet-stream' : 'application/json' },
      body: isBytes ? body : JSON.stringify(body),
    }),
  );
}

export const saysOf = (fault: unknown): string => (fault instanceof Error ? fault.message : String(fault));
