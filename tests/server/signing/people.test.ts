import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { ATTEMPT_LIMITS, Attempts } from '../../../server/signing/attempts.ts';
import { type NewPerson, People } from '../../../server/signing/people.ts';
import { PEOPLE_FILE, PEOPLE_LIMITS } from '../../../server/signing/peopleFile.ts';

const COST = { N: 16, r: 1, p: 1 };
const ANNA: NewPerson = {
  name: 'Anna',
  role: 'company man',
  secret: 'one two three',
  addedBy: null,
  mustBeFirst: true,
};

let folder: string;
let nowMs = 0;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'jointwise-people-'));
  nowMs = Date.parse('2031-03-04T00:00:00Z');
});
afterEach(() => rmSync(folder, { recursive: true }));

const path = () => join(folder, PEOPLE_FILE);
const open = (kept = true) => People.open({ path: kept ? path() : undefined, nowMs: () => nowMs, cost: COST });

describe('kept', () => {
  it('in a file that only its owner reads, without the secret, and known again', async () => {
    const people = await open();
    expect(await people.add(ANNA)).toEqual({ kind: 'added', person: { name: 'Anna', role: 'company man' } });
    const text = readFileSync(path(), 'utf8');
    expect(text).not.toContain('one two three');
    expect(statSync(path()).mode & 0o777).toBe(0o600);
    expect(readdirSync(folder)).toEqual([PEOPLE_FILE]);
    const again = await open();
    expect(again.list()).toEqual([{ name: 'Anna', role: 'company man' }]);
    expect(await again.recognise('Anna', 'one two three')).toMatchObject({ kind: 'person' });
    expect(await again.recognise('Anna', 'one two four')).toEqual({ kind: 'nobody' });
  });

  it('in memory alone where no file is named', async () => {
    const people = await open(false);
    await people.add(ANNA);
    expect(people.isKept).toBe(false);
    expect(await people.recognise(' anna ', 'one two three')).toMatchObject({
      kind: 'person',
      person: { name: 'Anna' },
    });
    expect(readdirSync(folder)).toEqual([]);
  });

  it.each([
    ['no JSON', '{'],
    ['another form', '{"format":"jointwise-people/1","people":[{"name":"A","secret":"hunter2 hunter2"}]}'],
    ['another format', '{"format":"x","people":[]}'],
  ])('%s is refused in one line, which shows no secret', async (_what, text) => {
    writeFileSync(path(), text);
    const fault = await open().catch((error: Error) => error);
    expect(fault).toBeInstanceOf(Error);
    expect((fault as Error).message).toContain(PEOPLE_FILE);
    expect((fault as Error).message).not.toMatch(/hunter2|\n/);
  });

  it('whoever could not be written was not added', async () => {
    const people = await People.open({ path: join(folder, 'gone', PEOPLE_FILE), nowMs: () => nowMs, cost: COST });
    await expect(people.add(ANNA)).rejects.toMatchObject({ code: 'cannot write' });
    expect(people.list()).toEqual([]);
  });
});

describe('added', () => {
  it('a name once, however it is written', async () => {
    const people = await open();
    await people.add(ANNA);
    for (const name of ['Anna', 'ANNA', ' anna  ', 'Ａnna']) {
      expect(await people.add({ ...ANNA, name, mustBeFirst: false })).toEqual({ kind: 'known already' });
    }
  });

  it('two who come at once as the first: one is', async () => {
    const people = await open();
    const both = await Promise.all([people.add(ANNA), people.add({ ...ANNA, name: 'Ben' })]);
    expect(both.map(({ kind }) => kind)).toEqual(['added', 'not the first']);
  });

  it('no more than there is room for', async () => {
    const people = await open(false);
    for (let i = 0; i < PEOPLE_LIMITS.people; i += 1) await people.add({ ...ANNA, name: `P ${i}`, mustBeFirst: false });
    expect(await people.add({ ...ANNA, mustBeFirst: false })).toEqual({ kind: 'too many' });
  });
});

describe('tried', () => {
  it('a few times at once, then after delays that double, up to a limit', () => {
    const attempts = new Attempts(() => nowMs);
    const waits = Array.from({ length: 14 }, () => {
      attempts.wrong('Anna');
      return attempts.waitMs('Anna') / 1000;
    });
    expect(waits).toEqual([0, 0, 2, 4, 8, 16, 32, 64, 128, 256, 300, 300, 300, 300]);
    expect(attempts.waitMs('Ben')).toBe(0);
    nowMs += 299_000;
    expect(attempts.waitMs('Anna')).toBe(1000);
    nowMs -= 24 * 3600_000;
    expect(attempts.waitMs('Anna')).toBe(ATTEMPT_LIMITS.mostMs);
    attempts.right('Anna');
    expect(attempts.waitMs('Anna')).toBe(0);
  });

  it('the right secret waits too, and starts anew once it is heard; another person does not wait', async () => {
    const people = await open(false);
    await people.add(ANNA);
    await people.add({ ...ANNA, name: 'Ben', mustBeFirst: false });
    const tries = await Promise.all(Array.from({ length: 6 }, () => people.recognise('Anna', 'wrong secret')));
    expect(tries.map(({ kind }) => kind)).toEqual(['nobody', 'nobody', 'nobody', 'wait', 'wait', 'wait']);
    expect(await people.recognise('Anna', ANNA.secret)).toEqual({ kind: 'wait', waitMs: 2000 });
    expect(await people.recognise('Ben', ANNA.secret)).toMatchObject({ kind: 'person' });
    nowMs += 2000;
    expect(await people.recognise('Anna', ANNA.secret)).toMatchObject({ kind: 'person' });
    expect(await people.recognise('Anna', 'wrong secret')).toEqual({ kind: 'nobody' });
  });

  it('names that nobody has are counted together', async () => {
    const people = await open(false);
    await people.add(ANNA);
    const kinds = [];
    for (let i = 0; i < 5; i += 1) kinds.push((await people.recognise(`ghost ${i}`, 'wrong secret')).kind);
    expect(kinds).toEqual(['nobody', 'nobody', 'nobody', 'wait', 'wait']);
    expect(await people.recognise('Anna', ANNA.secret)).toMatchObject({ kind: 'person' });
  });

  it('too many at once are turned away', async () => {
    const people = await open(false);
    await people.add(ANNA);
    const tries = await Promise.all(Array.from({ length: 30 }, () => people.recognise('Anna', ANNA.secret)));
    expect(tries.filter(({ kind }) => kind === 'busy')).toHaveLength(10);
    expect(await people.recognise('Anna', ANNA.secret)).toMatchObject({ kind: 'person' });
  });
});
