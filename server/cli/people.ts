/** `people add|list`: who may sign in a data folder. The secret comes on standard input, never as a word of the command. */
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { z } from 'zod/mini';
import { systemClock } from '../../ingest/clock.ts';
import { Fault } from '../../src/fault.ts';
import { ROLE_NAMES, type RoleName } from '../../src/signing/roles.ts';
import { lockDataFolder } from '../keep/dataLock.ts';
import { shown } from '../plan/schemaFaults.ts';
import { People } from '../signing/people.ts';
import { nameSchema, PEOPLE_FILE } from '../signing/peopleFile.ts';
import { SECRET_LIMITS, secretProblem } from '../signing/secretHash.ts';
import { needed, type OptionTable, readNameAndOptions } from './options.ts';

export const PEOPLE_OPTIONS = {
  data: { type: 'string', value: 'FOLDER', says: 'the run library' },
  person: { type: 'string', value: 'NAME', says: 'add: who; the secret is the first line of standard input' },
  role: { type: 'string', value: 'ROLE', says: `add: one of ${ROLE_NAMES.join(', ')}` },
} as const satisfies OptionTable;

/** Bytes of a line that may be a secret. */
const MOST_LINE = 4 * SECRET_LIMITS.most;

export async function people(args: readonly string[]): Promise<void> {
  const { name: verb, ...options } = readNameAndOptions(args, PEOPLE_OPTIONS, 'add or list');
  const path = join(needed('data', options.data, 'a data folder'), PEOPLE_FILE);
  if (verb === 'list') await list(path);
  else if (verb === 'add') await add(options.data!, path, options);
  else throw new Fault('bad option', `people: found ${shown(verb)}, expected add or list`);
}

async function list(path: string): Promise<void> {
  const known = (await People.open({ path, nowMs: systemClock.nowMs })).list();
  process.stdout.write(known.map(({ name, role }) => `${name}\t${role}\n`).join(''));
}

async function add(
  data: string,
  path: string,
  options: { readonly person: string | undefined; readonly role: string | undefined },
): Promise<void> {
  const named = z.safeParse(nameSchema, options.person ?? '');
  if (!named.success) {
    throw new Fault('bad option', `--person: found ${shown(options.person)}, expected a name of one line`);
  }
  const role = needed('role', options.role, `one of ${ROLE_NAMES.join(', ')}`);
  if (!ROLE_NAMES.includes(role as RoleName)) {
    throw new Fault('bad option', `--role: found ${shown(role)}, expected one of ${ROLE_NAMES.join(', ')}`);
  }
  // A service that runs knows its people itself: there a new one is entered on its page.
  const lock = lockDataFolder(data, { nowMs: systemClock.nowMs });
  try {
    const all = await People.open({ path, nowMs: systemClock.nowMs });
    const secret = await firstLine();
    const wrong = secretProblem(secret);
    if (wrong !== null) throw new Fault('bad option', `standard input, ${wrong}`);
    const person = { name: named.data, role: role as RoleName, secret, addedBy: null, mustBeFirst: false };
    const added = await all.add(person);
    if (added.kind !== 'added') {
      const expected = added.kind === 'too many' ? 'fewer people' : 'another name';
      throw new Fault('bad option', `--person: found ${added.kind}, expected ${expected}`);
    }
    process.stdout.write(`${added.person.name}\t${added.person.role}\n`);
  } finally {
    lock.release();
  }
}

/** Of standard input; nothing of it is shown where a terminal is asked. */
async function firstLine(): Promise<string> {
  const { stdin, stderr } = process;
  if (!stdin.isTTY) return pipedLine();
  stderr.write('secret: ');
  const lines = createInterface({ input: stdin, terminal: true });
  try {
    return await new Promise<string>((resolve) => {
      lines.once('line', resolve);
      lines.once('close', () => resolve(''));
    });
  } finally {
    lines.close();
    stderr.write('\n');
  }
}

async function pipedLine(): Promise<string> {
  let text = '';
  for await (const chunk of process.stdin.setEncoding('utf8')) {
    text += chunk;
    if (text.includes('\n') || text.length > MOST_LINE) break;
  }
  return text.split(/\r?\n/, 1)[0]!;
}
