import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { seededRandom } from '../../ingest/simulator/random.ts';
import { nodeDisk } from '../../server/keep/nodeDisk.ts';
import { CHUNK_ROWS, readSampleCache, SampleCacheWriter } from '../../server/keep/sampleChunks.ts';
import { columnBytes, packColumn, unpackColumn } from '../../src/replay/columnPacking.ts';
import { toInside, UNITS } from '../../src/units.ts';

const FORM = { key: 'decoder 1', columns: 3 };
let folder: string;
let path: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'jointwise-chunks-'));
  path = join(folder, 'samples');
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

function roundTrip(values: Float64Array, units = [UNITS.psi, UNITS.ft]): { values: Float64Array; bytes: number } {
  const bytes = packColumn(values, units);
  const out = new Float64Array(values.length);
  expect(unpackColumn(columnBytes(bytes), 0, values.length, out, 0)).toBe(bytes.length);
  // Without what fills the column up to a multiple of 8.
  return { values: out, bytes: values.length * bytes[0]! };
}

const same = (a: Float64Array, b: Float64Array): boolean =>
  a.length === b.length && a.every((value, i) => Object.is(value, b[i]));

describe('a column comes back bit for bit', () => {
  test('whatever its values', () => {
    const any = fc.oneof(
      fc.double(),
      fc.integer(),
      fc.constantFrom(Number.NaN, -0, 0, Infinity, -Infinity, 1e308, 0.1),
    );
    fc.assert(
      fc.property(fc.array(any, { maxLength: 700 }), (list) => {
        const values = Float64Array.from(list);
        expect(same(roundTrip(values).values, values)).toBe(true);
      }),
      { numRuns: 300, seed: 5 },
    );
  });

  test('and small, when its values are decimals in a unit of the trade', () => {
    const decimal = fc.record({
      steps: fc.array(fc.option(fc.integer({ min: -100, max: 100 }), { freq: 20 }), { minLength: 2, maxLength: 600 }),
      start: fc.integer({ min: -100_000, max: 100_000 }),
      decimals: fc.integer({ min: 0, max: 4 }),
      unit: fc.constantFrom('kPa', 'psi', 'm', 'ft', 'rpm'),
    } as const);
    fc.assert(
      fc.property(decimal, ({ steps, start, decimals, unit }) => {
        let whole = start;
        const values = Float64Array.from(steps, (step) => {
          whole += step ?? 0;
          return step === null ? Number.NaN : toInside(whole / 10 ** decimals, unit);
        });
        const { values: back, bytes } = roundTrip(values);
        expect(same(back, values)).toBe(true);
        expect(bytes).toBeLessThanOrEqual(2 * values.length);
      }),
      { numRuns: 300, seed: 6 },
    );
  });

  test.each([
    ['all NaN', [Number.NaN, Number.NaN], 0],
    ['one value', [7.25], 0],
    ['zeros of two signs', [0, -0, 0], 24],
    ['steps of a byte', [1, 2, 3], 3],
    ['steps of two bytes', [1, 500, 3], 6],
    ['steps of four bytes', [1, 500_000, 3], 12],
    ['the step that says NaN', [0, -128, 0], 6],
    ['no decimals', [Math.PI, Math.E, 1], 24],
  ])('%s in as many bytes as it takes', (_, list, bytes) => {
    const back = roundTrip(Float64Array.from(list));
    expect(back.bytes).toBe(bytes);
    expect(same(back.values, Float64Array.from(list))).toBe(true);
  });
});

const random = seededRandom(9);
const ROWS = 5 * CHUNK_ROWS;
const time = Float64Array.from({ length: ROWS }, (_, i) => Date.UTC(2031, 2, 4) + i * 1000);
const columns = [
  Float64Array.from({ length: ROWS }, (_, i) => Math.round(200_000 + i * 3 + random.between(-5, 5)) / 100),
  Float64Array.from({ length: ROWS }, () => toInside(Math.round(random.between(2900, 3100)), 'psi')),
  new Float64Array(ROWS).fill(Number.NaN),
];
const hashAt = (chunk: number): Uint8Array => new Uint8Array(32).fill(chunk);

function append(writer: SampleCacheWriter, from: number, to: number): void {
  for (let chunk = from; chunk < to; chunk++) {
    const rows = (values: Float64Array) => values.slice(chunk * CHUNK_ROWS, (chunk + 1) * CHUNK_ROWS);
    const head = { lastNumber: (chunk + 1) * CHUNK_ROWS, hash: hashAt(chunk + 1) };
    writer.append(rows(time), columns.map(rows), [[], [UNITS.psi], []], head);
  }
}

function written(chunks = 5): void {
  const writer = new SampleCacheWriter(nodeDisk, path, FORM, readSampleCache(nodeDisk, path, FORM));
  append(writer, 0, chunks);
  writer.close();
}

/** Chunks that are read, all of them as they were written. */
function chunksRead(): number {
  const read = readSampleCache(nodeDisk, path, FORM);
  expect(same(read.time, time.subarray(0, read.rows))).toBe(true);
  read.columns.forEach((column, i) => {
    expect(same(column, columns[i]!.subarray(0, read.rows))).toBe(true);
  });
  expect(read.lastNumber).toBe(read.rows);
  expect(Buffer.compare(read.hash, hashAt(read.rows / CHUNK_ROWS))).toBe(0);
  return read.rows / CHUNK_ROWS;
}

describe('the cache of samples', () => {
  test('is read back, and gone on with', () => {
    written(3);
    expect(chunksRead()).toBe(3);
    const writer = new SampleCacheWriter(nodeDisk, path, FORM, readSampleCache(nodeDisk, path, FORM));
    append(writer, 3, 5);
    writer.close();
    expect(chunksRead()).toBe(5);
  });

  test('of another key is none', () => {
    written();
    expect(readSampleCache(nodeDisk, path, { ...FORM, key: 'decoder 2' })).toMatchObject({
      rows: 0,
      problems: [expect.any(String)],
    });
  });

  test('with any bit turned, or cut anywhere, gives what is before and says so, and is mended', () => {
    written();
    const whole = readFileSync(path);
    for (let n = 0; n < 150; n++) {
      const bytes = Buffer.from(whole);
      const bit = random.whole(0, bytes.length * 8 - 1);
      bytes[bit >> 3]! ^= 1 << (bit & 7);
      writeFileSync(path, n % 3 === 0 ? whole.subarray(0, bit >> 3) : bytes);
      const read = readSampleCache(nodeDisk, path, FORM);
      // A cut between two chunks is no damage: the cache ends there.
      const isBetween = n % 3 === 0 && read.bytes === bit >> 3;
      expect({ n, bit, problems: read.problems.length }).toEqual({ n, bit, problems: isBetween ? 0 : 1 });
      expect(chunksRead()).toBeLessThan(5);
      const writer = new SampleCacheWriter(nodeDisk, path, FORM, read);
      append(writer, read.rows / CHUNK_ROWS, 5);
      writer.close();
      expect(readFileSync(path).equals(whole)).toBe(true);
    }
  });
});
