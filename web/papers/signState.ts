/** What the service says of signatures and of the people who may sign, and which subject is about to be signed. */
import { signal } from '@preact/signals';
import { z } from 'zod/mini';

const signatureSchema = z.object({
  number: z.number(),
  subject: z.string(),
  of: z.nullable(z.string()),
  version: z.number(),
  hash: z.string(),
  by: z.string(),
  role: z.string(),
  as: z.nullable(z.string()),
  rigTime: z.string(),
  signedAt: z.string(),
  holds: z.discriminatedUnion('kind', [
    z.object({ kind: z.literal('holds') }),
    z.object({
      kind: z.literal('broken'),
      since: z.string(),
      cause: z.object({ kind: z.string(), action: z.optional(z.string()), by: z.optional(z.string()) }),
      parts: z.array(z.string()),
    }),
  ]),
});
export type Signature = z.infer<typeof signatureSchema>;

const subjectSchema = z.object({
  subject: z.string(),
  says: z.string(),
  signatures: z.number(),
  of: z.nullable(z.string()),
});
export type Subject = z.infer<typeof subjectSchema>;

export const signaturesSchema = z.object({ signatures: z.array(signatureSchema), subjects: z.array(subjectSchema) });
export type Signatures = z.infer<typeof signaturesSchema>;

export const peopleSchema = z.object({
  people: z.array(z.object({ name: z.string(), role: z.string() })),
  roles: z.array(z.object({ role: z.string(), signs: z.array(z.string()) })),
  kept: z.boolean(),
});
export type People = z.infer<typeof peopleSchema>;

export const textSchema = z.object({ version: z.number(), hash: z.string(), text: z.string() });

/** What is about to be signed; the side where there are two. */
export interface ToSign {
  readonly subject: string;
  /** Null where there is only one. */
  readonly of: string | null;
  readonly as?: string;
}

export const toSign = signal<ToSign | null>(null);
export const nameOf = ({ subject, of }: ToSign): string => (of === null ? subject : `${subject} ${of}`);
