/** Damaged tables of every format: nothing is thrown, every row is a sample or counted, memory stays flat. */
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { expect, test } from 'vitest';
import { DIRECTION_LIMITS } from '../../ingest/table/rowDirection.ts';
import { ROW_REFUSALS, type RowRefusalReason } from '../../ingest/table/rowRefusals.ts';
import type { TableReader } from '../../ingest/table/tableIntake.ts';
import { READERS } from '../../server/readers.ts';
import { emptySample, type Sample } from '../../src/channels.ts';
import { csvText, lasText, MNEMONIC_COLUMNS, witsmlText } from '../support/tableWriters.ts';
import { STREAM } from './readStream.ts';
import type { TableFormat } from './readTable.ts';

const INPUTS = 30_000;
/** By then all is compiled. */
const WARM_UP_INPUTS = 10_000;
/** Many seconds on a busy machine; only a reader that hangs takes longer. */
const TIMEOUT_MS = 240_000;
/** What lives may differ by as much from one forced collection to the next; the inputs after the warm-up are 40 MB and more. */
const NOISE_BYTES = 4 * 1024 * 1024;

setFlagsFromString('--expose-gc');
const collect = runInNewContext('gc') as () => void;
function liveBytes(): number {
  collect();
  collect();
  const { heapUsed, arrayBuffers } = process.memoryUsage();
  return heapUsed + arrayBuffers;
}

/** Numerical Recipes' quick 32-bit generator (from memory): seeded, so that a failing run can be had again. */
function seeded(seed: number): (below: number) => number {
  let state = seed >>> 0;
  return (below) => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return Math.floor((state / 2 ** 32) * below);
  };
}

const NOON = Date.UTC(2031, 2, 4, 12);
const SAMPLES: Sample[] = Array.from({ length: 5 }, (_, i) => {
  const sample = emptySample(NOON + i * 1000, NOON + i * 1000);
  return Object.assign(sample, { bitDepth: 1000 + i / 100, hookload: 800.5, standpipePressure: 18_000 + i });
});
const COLUMNS = MNEMONIC_COLUMNS.filter(({ name }) => ['DBTM', 'HKLA', 'SPPA'].includes(name));

const BASES: Readonly<Record<TableFormat, readonly string[]>> = {
  csv: [
    csvText(SAMPLES, { columns: COLUMNS }),
    csvText(SAMPLES, { columns: COLUMNS, separator: ';', comma: true, unitRow: true }),
  ],
  las: [lasText(SAMPLES, false, COLUMNS), lasText(SAMPLES, true, COLUMNS)],
  witsml: [
    witsmlText(SAMPLES.slice(2), { columns: COLUMNS }),
    witsmlText(SAMPLES, { columns: COLUMNS, newestFirst: true }),
  ],
};
const INSERTS: Readonly<Record<TableFormat, readonly string[]>> = {
  csv: ['"', '""', ',', ';', '\t', '(kPa)', '[psi]', 'Time,', 'Date;', 'DBTM', '#', '=1+1', '2031-03-04T12:00:02Z'],
  las: ['~', '~A', '~C\n', '~V', '#', '.', ':', 'WRAP. YES :\n', 'TIME', 'DEPT.M', '1 2 3', ' ', 'NULL. 1 :\n'],
  witsml: [
    '<',
    '>',
    '</',
    '<data>',
    '</data>',
    '&',
    '&#0;',
    '&lt;',
    '<![CDATA[',
    ']]>',
    '<!--',
    '<!DOCTYPE x>',
    '<a>',
    'xmlns=""',
    '</log>',
  ],
};
const ANY_INSERTS = [
  '\0',
  '\r',
  '\n',
  '\r\n',
  '\xff\xfe',
  '\xef\xbb\xbf',
  '\x80',
  'é',
  'NaN',
  '-999.25',
  '1e999',
  '-',
  '.',
  '99999999999',
  ' ',
];

function mutate(base: string, inserts: readonly string[], below: (n: number) => number): Buffer {
  let text = base;
  for (let k = 1 + below(5); k > 0; k--) {
    const place = below(text.length + 1);
    const from = below(2) === 0 ? inserts : ANY_INSERTS;
    const insert = from[below(from.length)]!;
    const cut = below(3) === 0 ? below(30) : 0;
    text = text.slice(0, place) + (below(60) === 0 ? insert.repeat(300) : insert) + text.slice(place + cut);
  }
  if (below(20) === 0) text = text.slice(below(text.length + 1));
  return Buffer.from(below(30) === 0 ? text.slice(0, below(text.length + 1)) : text, 'latin1');
}

/** Rows that made no sample, by what was counted. */
function lostRows(rejected: Readonly<Record<string, number>>): number {
  let lost = 0;
  for (const [reason, count] of Object.entries(rejected)) {
    if (ROW_REFUSALS[reason as RowRefusalReason].of === 'rows') lost += count;
  }
  return lost;
}

test.each(Object.keys(BASES) as TableFormat[])(`${INPUTS} damaged inputs: %s`, { timeout: TIMEOUT_MS }, (format) => {
  const below = seeded(20_310_304);
  const seen = { samples: 0, backwards: 0, lastMs: 0, refusals: 0 };
  const reasons = new Set<string>();
  let warm = 0;
  for (let i = 0; i < INPUTS; i++) {
    if (i === WARM_UP_INPUTS) warm = liveBytes();
    const bytes = mutate(BASES[format][i % 2]!, INSERTS[format], below);
    seen.lastMs = Number.NEGATIVE_INFINITY;
    const reader = READERS[format](STREAM, ({ sourceMs }) => {
      if (!(sourceMs > seen.lastMs)) seen.backwards++;
      seen.lastMs = sourceMs;
      seen.samples++;
    }) as TableReader;
    const cut = below(bytes.length + 1);
    reader.push(bytes.subarray(0, cut), Number.NaN);
    reader.push(bytes.subarray(cut), Number.NaN);
    reader.end();
    const { counts, refusal } = reader;
    const { frames, samples, rejected } = counts;
    if (counts.bytes !== bytes.length) expect.fail(`input ${i}: ${counts.bytes} of ${bytes.length} bytes counted`);
    if (frames !== samples + lostRows(rejected)) {
      expect.fail(`input ${i}: ${frames} rows, ${samples} samples, ${JSON.stringify(rejected)}`);
    }
    if ((refusal === null) === (rejected['broken off'] === 1))
      expect.fail(`input ${i}: ${refusal}, ${JSON.stringify(rejected)}`);
    if (refusal && (refusal.includes('\n') || refusal.length > 400)) expect.fail(`input ${i}: ${refusal}`);
    if (refusal) seen.refusals++;
    for (const reason of Object.keys(rejected)) reasons.add(reason);
  }
  expect(liveBytes() - warm).toBeLessThan(NOISE_BYTES);
  expect(seen.backwards).toBe(0);
  expect(seen.samples).toBeGreaterThan(INPUTS / 10);
  expect(seen.refusals).toBeGreaterThan(100);
  for (const reason of ['ragged row', 'unreadable time', 'unreadable value', 'broken off'])
    expect(reasons).toContain(reason);
});

/** Chunks of a file that never ends are passed on, and what lives is measured before and behind. */
function grownBy(
  format: TableFormat,
  head: string,
  chunk: string,
  times: number,
): { grown: number; reader: TableReader } {
  const reader = READERS[format](STREAM, () => {}) as TableReader;
  reader.push(Buffer.from(head), Number.NaN);
  const bytes = Buffer.from(chunk);
  for (let i = 0; i < 20; i++) reader.push(bytes, Number.NaN);
  const before = liveBytes();
  for (let i = 0; i < times; i++) reader.push(bytes, Number.NaN);
  return { grown: liveBytes() - before, reader };
}

const ROOT = '<logs xmlns="http://www.witsml.org/schemas/1series" version="1.4.1.1">';
test.each([
  ['csv', 'a line without an end', 'Time,SPP\n', 'x'.repeat(100_000)],
  ['csv', 'rows with a quote that stays open', 'Time,SPP\n', '2031-03-04T12:00:00Z,"1\n'.repeat(4000)],
  ['csv', 'rows of one instant', 'Time,SPP\n', '2031-03-04T12:00:00Z,1\n'.repeat(4000)],
  ['csv', 'rows without a time', 'Time,SPP\n', 'x,1\n'.repeat(20_000)],
  ['csv', 'rows of 1e5 cells', 'Time,SPP\n', `${','.repeat(100_000)}\n`],
  ['las', 'a header without an end', '~V\n', 'A. 1 :\n'.repeat(10_000)],
  [
    'las',
    'a wrapped row without an end',
    '~V\nVERS. 2.0 :\nWRAP. YES :\n~W\n~C\nTIME.S:\nA.M:\n~A\n',
    '1 2 3 4\n'.repeat(10_000),
  ],
  ['witsml', 'comments without an end', ROOT, '<!-- x -->'.repeat(10_000)],
  ['witsml', 'a comment without an end', `${ROOT}<!--`, 'x'.repeat(100_000)],
  ['witsml', 'empty logs', ROOT, '<log><name>n</name><logCurveInfo/></log>'.repeat(2500)],
  ['witsml', 'a log of curves alone', `${ROOT}<log>`, '<logCurveInfo/>'.repeat(6000)],
] as const)('%s: %s, 10 MB of it, and memory stays flat', { timeout: TIMEOUT_MS }, (format, _, head, chunk) => {
  const { grown, reader } = grownBy(format, head, chunk, 100);
  expect(grown).toBeLessThan(NOISE_BYTES);
  reader.end();
  expect(Object.keys(reader.counts.rejected).length + reader.counts.samples).toBeGreaterThan(0);
});

test('newest first: what is kept to be put in order is bounded', { timeout: TIMEOUT_MS }, () => {
  const reader = READERS.csv(STREAM, () => {}) as TableReader;
  const head = `Time,${MNEMONIC_COLUMNS.map(({ name }) => name).join(',')}\n`;
  reader.push(Buffer.from(head), Number.NaN);
  const before = liveBytes();
  const rows = 420_000;
  let text = '';
  for (let i = 0; i < rows; i++) {
    text += `${2_000_000_000 - i}${',1'.repeat(MNEMONIC_COLUMNS.length)}\n`;
    if (text.length > 100_000 || i === rows - 1) {
      reader.push(Buffer.from(text), Number.NaN);
      text = '';
    }
  }
  expect(liveBytes() - before).toBeLessThan(DIRECTION_LIMITS.numbers * 8 + NOISE_BYTES);
  reader.end();
  const { frames, samples, rejected } = reader.counts;
  const kept = Math.floor(DIRECTION_LIMITS.numbers / (MNEMONIC_COLUMNS.length + 1));
  expect([frames, samples, rejected]).toEqual([rows, kept, { 'row beyond the limit': rows - kept }]);
});
