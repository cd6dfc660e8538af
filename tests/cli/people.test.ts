/** `people`: in the built program, with a secret that comes on standard input. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { lockDataFolder } from '../../server/keep/dataLock.ts';
import { run } from '../support/program.ts';

let data: string;
beforeEach(() => {
  data = mkdtempSync(join(tmpdir(), 'jointwise-people-'));
});
afterEach(() => rmSync(data, { recursive: true }));

const add = (name: string, role: string, secret: string) =>
  run(['people', 'add', '--data', data, '--person', name, '--role', role], secret);

test('people are added and listed, and the secret is shown nowhere', async () => {
  const first = await add('Anna Berg', 'company man', 'seven green bottles\nsecond line');
  expect(first).toEqual({ code: 0, out: 'Anna Berg\tcompany man\n', err: '' });
  expect((await add('Ben Clay', 'toolpusher', 'eight blue bottles')).code).toBe(0);
  const { out } = await run(['people', 'list', '--data', data]);
  expect(out).toBe('Anna Berg\tcompany man\nBen Clay\ttoolpusher\n');
  expect(readFileSync(join(data, 'people.json'), 'utf8')).not.toMatch(/bottles/);
});

test.each([
  ['a short secret', 'Anna', 'company man', 'hush567', 'standard input, secret: found a shorter one'],
  ['no secret', 'Anna', 'company man', '', 'standard input, secret: found a shorter one'],
  ['a role that is none', 'Anna', 'king', 'hush hush hush', '--role: found "king"'],
  ['no name', ' ', 'company man', 'hush hush hush', '--person: found " "'],
])('%s is refused in one line', async (_what, name, role, secret, line) => {
  const { code, out, err } = await add(name, role, secret);
  expect([code, out]).toEqual([2, '']);
  expect(err).toContain(line);
  expect(err.trim().split('\n')).toHaveLength(1);
  expect(err).not.toContain('hush');
});

test('a folder that a service holds is left to it', async () => {
  const lock = lockDataFolder(data, { nowMs: () => Date.now() });
  try {
    const { code, err } = await add('Anna', 'company man', 'seven green bottles');
    expect(code).not.toBe(0);
    expect(err).toContain('found it held by');
  } finally {
    lock.release();
  }
});
