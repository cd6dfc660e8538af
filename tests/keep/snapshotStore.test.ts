import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { nodeDisk } from '../../server/keep/nodeDisk.ts';
import { MOST_SNAPSHOTS, SnapshotStore } from '../../server/keep/snapshotStore.ts';

let folder: string;
let reports: string[];
beforeEach(() => {
  folder = join(mkdtempSync(join(tmpdir(), 'jointwise-snap-')), 'cache');
  reports = [];
});
afterEach(() => rmSync(join(folder, '..'), { recursive: true, force: true }));

const store = (key = 'program 1, plan a'): SnapshotStore<unknown> =>
  new SnapshotStore(nodeDisk, folder, key, (line) => void reports.push(line));

test('any plain state comes back as it was, NaN and signs of zero too', async () => {
  const leaf = fc.oneof(
    fc.double(),
    fc.string(),
    fc.boolean(),
    fc.constantFrom(null, undefined, Number.NaN, -0, Infinity),
  );
  const state = fc.letrec((tie) => ({
    value: fc.oneof(
      { maxDepth: 4 },
      leaf,
      fc.array(tie('value'), { maxLength: 5 }),
      fc.dictionary(fc.string(), tie('value'), { maxKeys: 5, noNullPrototype: true }),
      fc.float64Array(),
    ),
  })).value;
  let number = 0;
  await fc.assert(
    fc.asyncProperty(state, async (value) => {
      number++;
      const snapshots = store();
      await snapshots.save({ number, hash: 'ab', state: value });
      expect(snapshots.atOrBefore(number)).toStrictEqual({ number, hash: 'ab', state: value });
    }),
    { numRuns: 60, seed: 3 },
  );
  expect(reports).toEqual([]);
});

test('the last at or before a record is given', async () => {
  for (const number of [600, 1200, 1800]) await store().save({ number, hash: '', state: { number } });
  const given = [0, 599, 600, 1199, 1200, 9999].map((number) => store().atOrBefore(number)?.number ?? null);
  expect(given).toEqual([null, null, 600, 600, 1200, 1800]);
});

test('one with any bit turned is passed over for the one before, reported and taken away', async () => {
  await store().save({ number: 1, hash: '', state: 'first' });
  await store().save({ number: 2, hash: '', state: { values: [1, 2, 3] } });
  const path = join(folder, readdirSync(folder)[1]!);
  const whole = readFileSync(path);
  for (let bit = 0; bit < whole.length * 8; bit += 7) {
    const bytes = Buffer.from(whole);
    bytes[bit >> 3]! ^= 1 << (bit & 7);
    writeFileSync(path, bytes);
    expect({ bit, state: store().atOrBefore(2)?.state }).toEqual({ bit, state: 'first' });
    expect(reports.pop()).toContain('the checksum does not hold');
    expect(readdirSync(folder)).toHaveLength(1);
  }
});

test('one of another program or plan, or under another number, is none', async () => {
  await store('program 1, plan a').save({ number: 5, hash: '', state: 1 });
  const [name] = readdirSync(folder);
  const bytes = readFileSync(join(folder, name!));
  expect(store('program 1, plan b').atOrBefore(9)).toBeNull();
  expect(reports.join()).toContain('for another plan');
  writeFileSync(join(folder, 'state-000000000009.snap'), bytes);
  expect(store().atOrBefore(9)).toBeNull();
  expect(reports.join()).toContain('found the state of record 5');
});

test('there are never more than its limit, and old ones are thinned first', async () => {
  for (let number = 1; number <= MOST_SNAPSHOTS + 5; number++) await store().save({ number, hash: '', state: number });
  const { length } = store().numbers();
  expect(length).toBeLessThanOrEqual(MOST_SNAPSHOTS);
  expect(length).toBeGreaterThan(MOST_SNAPSHOTS / 2);
  expect(store().atOrBefore(Infinity)?.state).toBe(MOST_SNAPSHOTS + 5);
});
