import { mkdtemp, readFile, rm, stat, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { JournalFile } from '../../server/journalFile.ts';
import { JOURNAL_LIMITS, type JournalEntry } from '../../src/journal/journalSchema.ts';

const entry = (text: string): JournalEntry => ({ at: '2031-03-04T05:06:07.000Z', by: 'a', action: 'note', text });

let folder: string;
let file: JournalFile;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'jointwise-file-'));
});
afterEach(async () => {
  await file.close();
  await rm(folder, { recursive: true });
});

test.each([
  // what is there | what is there after one entry, but for the entry itself
  ['', ''],
  ['{"a":1}\n', '{"a":1}\n'],
  ['{"a":1}', '{"a":1}\n'],
  ['{"a":1}\n\n', '{"a":1}\n\n'],
])('%j keeps what it has and gets a whole line', async (before, kept) => {
  const path = join(folder, 'journal.jsonl');
  await writeFile(path, before);
  file = new JournalFile(path);
  await file.append(entry('line\nbreak'));
  const text = await readFile(path, 'utf8');
  expect(text).toBe(`${kept}${JSON.stringify(entry('line\nbreak'))}\n`);
});

test('a file that is not there is made, for its owner alone', async () => {
  const path = join(folder, 'new.jsonl');
  file = new JournalFile(path);
  await file.append(entry('first'));
  expect((await stat(path)).mode & 0o077).toBe(0);
});

test('a disk that is full: a fault, and the next entry is tried anew', async () => {
  file = new JournalFile('/dev/full');
  for (let time = 0; time < 2; time++) {
    await expect(file.append(entry('lost'))).rejects.toMatchObject({
      code: 'cannot write',
      message: expect.stringMatching(/^\/dev\/full: found E/),
    });
  }
});

test('a journal never grows beyond what would be read again', async () => {
  const path = join(folder, 'long.jsonl');
  await writeFile(path, Buffer.alloc(JOURNAL_LIMITS.bytes - 10, '\n'));
  file = new JournalFile(path);
  await expect(file.append(entry('too much'))).rejects.toMatchObject({ code: 'cannot write' });
  expect((await stat(path)).size).toBe(JOURNAL_LIMITS.bytes - 10);
});
