/** The file of the people who may sign, in the data folder, readable by its owner alone. */
import { randomBytes } from 'node:crypto';
import { open, rename, rm } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { z } from 'zod/mini';
import { Fault } from '../../src/fault.ts';
import { ROLE_NAMES } from '../../src/signing/roles.ts';
import { parseJson } from '../plan/parseJson.ts';
import { fileReason, readBounded } from '../plan/readBounded.ts';
import { secretHashSchema } from './secretHash.ts';

export const PEOPLE_FILE = 'people.json';
const FORMAT = 'jointwise-people/1';

export const PEOPLE_LIMITS = { people: 200, bytes: 256 * 1024, nameCharacters: 100 } as const;

/** A name stands in journals and on printed sheets: one line, without what cannot be seen. */
export const nameSchema = z
  .string()
  .check(z.trim(), z.minLength(1), z.maxLength(PEOPLE_LIMITS.nameCharacters), z.regex(/^[^\p{C}\p{Zl}\p{Zp}]*$/u));

export const personSchema = z.object({
  name: nameSchema,
  role: z.enum(ROLE_NAMES),
  /** By the clock of the machine. */
  added: z.iso.datetime(),
  /** Who entered this person; null: the first one, or from the command line. */
  addedBy: z.nullable(z.string()),
  secret: secretHashSchema,
});
export type Person = z.infer<typeof personSchema>;

const fileSchema = z.object({
  format: z.literal(FORMAT),
  people: z.array(personSchema).check(z.maxLength(PEOPLE_LIMITS.people)),
});

/** Nobody where there is no file. @throws Fault `file unreadable`, `file too large`, `not json` */
export async function readPeople(path: string): Promise<Person[]> {
  try {
    const handle = await open(path, 'r');
    await handle.close();
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return [];
    throw new Fault('file unreadable', `${path}: ${fileReason(error)}, expected the people who may sign`);
  }
  const judged = z.safeParse(fileSchema, parseJson(path, await readBounded(path, PEOPLE_LIMITS.bytes, 'people')));
  if (judged.success) return judged.data.people;
  // Without what was found there: it may be a secret that somebody wrote in by hand.
  const place = judged.error.issues[0]?.path.map(String).join('.') || 'the whole';
  throw new Fault('file unreadable', `${path}: ${place}: found another form, expected ${FORMAT}`);
}

/** Whole or not at all. @throws Fault `cannot write` */
export async function writePeople(path: string, people: readonly Person[]): Promise<void> {
  const temporary = join(dirname(path), `.${PEOPLE_FILE}.${randomBytes(4).toString('hex')}.tmp`);
  try {
    const handle = await open(temporary, 'wx', 0o600);
    try {
      await handle.writeFile(`${JSON.stringify({ format: FORMAT, people }, null, 2)}\n`);
      await handle.sync();
    } finally {
      await handle.close();
    }
    await rename(temporary, path);
  } catch (error) {
    await rm(temporary, { force: true });
    throw new Fault('cannot write', `${path}: ${fileReason(error)}, expected a place to write to`);
  }
}
