/** The one form of an answer that is a refusal. */
import { z } from 'zod/mini';
import type { Answer } from './route.ts';

export const problemSchema = z.object({ error: z.string() });
export const problem = (says: string): Answer => ({ says, type: 'application/json', schema: problemSchema });
