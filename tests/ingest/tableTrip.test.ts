/** One trip as a WITS stream, as CSV, as LAS and as a WITSML log: the same samples, and the same record. */
import { readFile } from 'node:fs/promises';
import { beforeAll, expect, test } from 'vitest';
import { recognise, type StreamFormat } from '../../ingest/recognise.ts';
import { recordOfStream } from '../../server/cli/recordOfStream.ts';
import { planFrom } from '../../server/plan/readPlan.ts';
import { READERS } from '../../server/readers.ts';
import { CHANNEL_IDS, type Sample } from '../../src/channels.ts';
import { compileJob, type Job } from '../../src/plan/job.ts';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import { csvText, INSIDE_COLUMNS, lasText, type WrittenColumn, witsmlText } from '../support/tableWriters.ts';
import { clean1HzWithRecords, withIncident } from '../support/trips.ts';

function samplesOf(format: StreamFormat, bytes: Uint8Array, stream: Job['stream']): Sample[] {
  const samples: Sample[] = [];
  const reader = READERS[format](stream, (sample) => samples.push(sample));
  for (let from = 0; from < bytes.length; from += 50_000) reader.push(bytes.subarray(from, from + 50_000), Number.NaN);
  reader.end();
  return samples;
}

async function recordOf(format: StreamFormat, bytes: Uint8Array, job: Job): Promise<Omit<RunRecord, 'source'>> {
  async function* chunks() {
    yield bytes;
  }
  const stream = { name: format, chunks };
  const { source: _, ...record } = await recordOfStream(job, [], stream, (head, as, sink) => {
    expect(recognise(head)).toBe(format);
    return READERS[format](as, sink);
  });
  return record;
}

const utf8 = (text: string): Uint8Array => Buffer.from(text, 'utf8');

const FORMS: readonly (readonly [string, StreamFormat, (samples: readonly Sample[]) => Uint8Array])[] = [
  ['CSV', 'csv', (samples) => utf8(csvText(samples))],
  [
    'CSV, semicolons, decimal commas, units in a row of their own',
    'csv',
    (samples) => utf8(csvText(samples, { separator: ';', comma: true, unitRow: true })),
  ],
  [
    'CSV with tabs in UTF-16',
    'csv',
    (samples) => Buffer.from(`\uFEFF${csvText(samples, { separator: '\t' })}`, 'utf16le'),
  ],
  ['CSV, newest first', 'csv', (samples) => utf8(csvText(samples, { newestFirst: true }))],
  ['LAS', 'las', (samples) => utf8(lasText(samples))],
  ['LAS, wrapped', 'las', (samples) => utf8(lasText(samples, true))],
  ['WITSML', 'witsml', (samples) => utf8(witsmlText(samples))],
  ['WITSML, newest first', 'witsml', (samples) => utf8(witsmlText(samples, { newestFirst: true }))],
];

/** All numbers of all samples, as bytes: equal when each is, NaN with NaN. */
const packed = (samples: readonly Sample[]): Buffer =>
  Buffer.from(
    Float64Array.from(
      samples.flatMap((sample) => [sample.sourceMs, sample.arrivalMs, ...CHANNEL_IDS.map((id) => sample[id] + 0)]),
    ).buffer,
  );

let job: Job;
let samples: Sample[];
let record: Omit<RunRecord, 'source'>;
beforeAll(async () => {
  job = planFrom('demo', JSON.parse(await readFile('replay-data/demo-plan.json', 'utf8'))).job;
  const bytes = await readFile('replay-data/demo.wits');
  samples = samplesOf('wits0', bytes, job.stream);
  record = await recordOf('wits0', bytes, job);
  expect(samples.length).toBeGreaterThan(3000);
});

test.each(FORMS)('the demo trip as %s', async (_, format, write) => {
  const written = write(samples);
  expect(packed(samplesOf(format, written, job.stream)).equals(packed(samples))).toBe(true);
  expect(await recordOf(format, written, job)).toEqual(record);
});

test.each(['stall', 'data gap', 'low pressure'] as const)('a trip with the incident: %s', async (incident) => {
  const trip = withIncident(11, incident);
  const job = compileJob(trip.plan);
  const samples = samplesOf('wits0', trip.bytes, job.stream);
  const expected = await recordOf('wits0', trip.bytes, job);
  for (const [, format, write] of FORMS) expect(await recordOf(format, write(samples), job)).toEqual(expected);
});

test('the flag of a further record is a column as any other', async () => {
  const trip = clean1HzWithRecords(3);
  const job = compileJob(trip.plan);
  const samples = samplesOf('wits0', trip.bytes, job.stream);
  expect(samples.some(({ inSlips }) => inSlips === 1)).toBe(true);
  for (const [, format, write] of FORMS) {
    expect(packed(samplesOf(format, write(samples), job.stream)).equals(packed(samples))).toBe(true);
  }
});

/** Units of the field system: factors of NIST SP 811, so that values come back within rounding. */
const FIELD: readonly WrittenColumn[] = INSIDE_COLUMNS.map((column) => {
  const field = { m: 'ft', kN: 'klbf', kN·m: 'kft·lbf', kPa: 'psi', 'L/min': 'gpm', 'm³': 'bbl', '°C': '°F' } as const;
  const unit = Object.hasOwn(field, column.unit) ? field[column.unit as keyof typeof field] : column.unit;
  return { ...column, unit };
});

test('units in the header win over those of the plan', () => {
  const read = samplesOf('csv', utf8(csvText(samples, { columns: FIELD })), job.stream);
  expect(read.length).toBe(samples.length);
  const odd = read.filter((sample, i) =>
    INSIDE_COLUMNS.some(({ channel }) => {
      const wanted = samples[i]![channel];
      const found = sample[channel];
      return (
        Number.isNaN(wanted) !== Number.isNaN(found) || Math.abs(found - wanted) > 1e-9 * Math.max(1, Math.abs(wanted))
      );
    }),
  );
  expect(odd).toEqual([]);
});
