/** Keeping a run: one commit a sample beside a plain file, the bytes of a sample, and reading 72 h back beside a memory copy. */
import { closeSync, fdatasyncSync, mkdtempSync, openSync, readFileSync, rmSync, statSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { deflateSync } from 'node:zlib';
import { nodeDisk } from '../../server/keep/nodeDisk.ts';
import { readLog } from '../../server/keep/readLog.ts';
import { RunLibrary, readRun } from '../../server/keep/runLibrary.ts';
import { CHUNK_ROWS, readSampleCache, SampleCacheWriter } from '../../server/keep/sampleChunks.ts';
import { verifyRun } from '../../server/keep/verifyRun.ts';
import { READERS } from '../../server/readers.ts';
import { CHANNEL_IDS, CHANNELS } from '../../src/channels.ts';
import { compileJob } from '../../src/plan/job.ts';
import type { ColumnUnit } from '../../src/replay/columnPacking.ts';
import { type Quantity, SYSTEM_UNITS, UNITS } from '../../src/units.ts';
import { type BenchLine, inMb, inMs } from './benchLine.ts';
import { interleave, median, quantile } from './interleave.ts';
import { TRIP_FRAMES, trip72h, tripFrames } from './trip72h.ts';

/** Commits of a turn: short, so that what else the machine does hits both alike. */
const COMMITS = 100;
const TURNS = 90;
const WARM_UPS = 10;
const COLUMNS = 24;
const READ_ROUNDS = 11;
const SEEKS = 200;

export async function run(): Promise<BenchLine[]> {
  const folder = mkdtempSync(join(tmpdir(), 'jointwise-keep-bench-'));
  try {
    return [...(await commits(folder)), ...(await samples(folder)), ...(await wholeRun(folder))];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

type Times = { readonly ours: Float64Array; readonly beside: Float64Array };

async function commits(folder: string): Promise<BenchLine[]> {
  const frames = tripFrames(trip72h().streamFile, 1000, COMMITS).map((text) => Buffer.from(text, 'latin1'));
  const library = new RunLibrary(join(folder, 'commits'), {
    nowMs: () => Date.now(),
    report: (line) => console.error(line),
  });
  const { run } = await library.create({ name: 'bench', source: 'bench' });
  const plain = openSync(join(folder, 'plain'), 'a');
  const times: Times = {
    ours: new Float64Array(COMMITS * TURNS),
    beside: new Float64Array(COMMITS * TURNS),
  };
  for (let turn = -WARM_UPS; turn < TURNS; turn++) {
    const at = Math.max(0, turn) * COMMITS;
    for (const [i, frame] of frames.entries()) {
      const from = performance.now();
      await run.record(frame, from);
      times.ours[at + i] = performance.now() - from;
    }
    for (const [i, frame] of frames.entries()) {
      const from = performance.now();
      writeSync(plain, frame);
      fdatasyncSync(plain);
      times.beside[at + i] = performance.now() - from;
    }
  }
  closeSync(plain);
  await library.end();
  return commitLines(times);
}

function commitLines({ ours, beside }: Times): BenchLine[] {
  const p99 = (ms: Float64Array) => quantile(ms, 0.99);
  const sums = (ms: Float64Array) =>
    Float64Array.from({ length: TURNS }, (_, turn) =>
      ms.subarray(turn * COMMITS, (turn + 1) * COMMITS).reduce((sum, each) => sum + each, 0),
    );
  const ourTurns = sums(ours);
  const ratios = sums(beside).map((plain, turn) => ourTurns[turn]! / plain);
  const each = (ms: Float64Array) =>
    `${((COMMITS * 1000) / median(sums(ms))).toFixed(0)}/s, p50 ${median(ms).toFixed(3)}, p99 ${p99(ms).toFixed(3)} ms`;
  const line = { ours: each(ours), beside: `${each(beside)} plain file, write and fdatasync`, unit: '×' } as const;
  return [
    {
      what: 'commit of one sample, time',
      ...line,
      found: median(ratios),
      goal: 1.25,
      note: `median of ${TURNS} turns of ${COMMITS}; 1.25× the time is 0.8× the rate`,
    },
    { what: 'commit of one sample, p99', ...line, found: p99(ours) / p99(beside), goal: 3 },
  ];
}

interface Columns {
  readonly time: Float64Array;
  readonly values: Float64Array[];
  readonly units: ColumnUnit[][];
}

const unitsOf = (quantity: Quantity): ColumnUnit[] => [UNITS[SYSTEM_UNITS.field[quantity]]];

/** The channels of the trip, some of them twice to make 24 columns. */
function tripColumns(): Columns {
  const { plan, streamFile } = trip72h();
  const time = new Float64Array(TRIP_FRAMES);
  const ids = Array.from({ length: COLUMNS }, (_, i) => CHANNEL_IDS[i % CHANNEL_IDS.length]!);
  const values = ids.map(() => new Float64Array(TRIP_FRAMES));
  let row = 0;
  const reader = READERS.wits0(compileJob(plan).stream, (sample) => {
    time[row] = sample.sourceMs;
    for (let i = 0; i < COLUMNS; i++) values[i]![row] = sample[ids[i]!];
    row++;
  });
  reader.push(readFileSync(streamFile), Number.NaN);
  reader.end();
  const cut = (column: Float64Array) => column.slice(0, row);
  return { time: cut(time), values: values.map(cut), units: ids.map((id) => unitsOf(CHANNELS[id].quantity)) };
}

async function samples(folder: string): Promise<BenchLine[]> {
  const { time, values, units } = tripColumns();
  const path = join(folder, 'samples');
  const form = { key: 'bench', columns: COLUMNS };
  const writer = new SampleCacheWriter(nodeDisk, path, form, { bytes: 0 });
  for (let from = 0; from < time.length; from += CHUNK_ROWS) {
    const rows = (column: Float64Array) => column.subarray(from, Math.min(from + CHUNK_ROWS, time.length)).slice();
    writer.append(rows(time), values.map(rows), units, { lastNumber: from, hash: new Uint8Array(32) });
  }
  writer.close();
  let kept: Float64Array[] = [];
  const read = () => {
    const cache = readSampleCache(nodeDisk, path, form);
    if (cache.rows !== time.length) throw new Error(`${cache.rows} rows came back: ${cache.problems.join()}`);
    kept = [cache.time, ...cache.columns];
  };
  const copy = () => {
    kept = [time, ...values].map((column) => column.slice());
  };
  const { ours, beside, ratio } = await interleave(READ_ROUNDS, read, copy, 3);
  read();
  for (const [i, column] of [time, ...values].entries()) {
    if (Buffer.compare(Buffer.from(column.buffer), Buffer.from(kept[i]!.buffer)) !== 0)
      throw new Error(`column ${i} is not what it was`);
  }
  const bytes = statSync(path).size / time.length;
  const raw = readFileSync(trip72h().streamFile);
  const packed = deflateSync(raw).length / time.length;
  return [
    {
      what: `read ${time.length} samples × ${COLUMNS} channels back into typed arrays`,
      ours: inMs(ours),
      beside: `${inMs(beside)} memory copy of them`,
      found: ratio,
      unit: '×',
      goal: 6,
      note: 'from the file, checksums and all; the file is in the system’s cache',
    },
    {
      what: `bytes of a sample of ${COLUMNS} values, decoded`,
      ours: `${bytes.toFixed(1)} bytes`,
      beside: `${packed.toFixed(1)} bytes of its compressed raw text, ${(raw.length / time.length).toFixed(0)} as it came`,
      found: bytes / 60,
      unit: '×',
      goal: 1,
      note: '1 is 60 bytes; some of the 20 channels twice to make 24; what comes back is the same bit for bit',
    },
  ];
}

/** 72 h as a run: its size, a seek anywhere, the check of everything. */
async function wholeRun(folder: string): Promise<BenchLine[]> {
  const data = join(folder, 'whole');
  const frames = tripFrames(trip72h().streamFile, 0, TRIP_FRAMES);
  const library = new RunLibrary(data, { nowMs: () => Date.now(), report: (line) => console.error(line) });
  const { id, run } = await library.create({ name: 'bench', source: 'bench' });
  let bytes = 0;
  for (let from = 0; from < frames.length; from += 1000) {
    const batch = frames.slice(from, from + 1000).map((text) => Buffer.from(text, 'latin1'));
    bytes += batch.reduce((sum, frame) => sum + frame.length, 0);
    await Promise.all(batch.map((frame, i) => run.record(frame, (from + i) * 1000)));
  }
  await library.end();
  const runFolder = join(data, 'runs', id);
  const kept = nodeDisk.list(runFolder).reduce((sum, name) => sum + statSync(join(runFolder, name)).size, 0);
  const from = performance.now();
  const check = verifyRun(nodeDisk, runFolder);
  const verifyMs = performance.now() - from;
  if (!check.whole) throw new Error(check.problems.join('\n'));
  const openMs = await openTime(data, id);
  const seeks = seekTimes(data, id);
  const walk = await interleave(
    3,
    () => walked(runFolder),
    () => readFileSync(trip72h().streamFile),
    1,
  );
  return [
    {
      what: 'seek to a record anywhere in 72 h of raw log',
      ours: inMs(median(seeks)),
      beside: '',
      found: quantile(seeks, 0.99),
      unit: 'ms',
      goal: 200,
      note: 'found is the p99',
    },
    {
      what: 'open a run of 72 h to go on recording',
      ours: inMs(openMs),
      beside: '',
      found: openMs,
      unit: 'ms',
      goal: 3000,
      note: 'without the state of the pipeline, which is another cache',
    },
    {
      what: 'read 72 h of raw log, checksums and chain',
      ours: inMs(walk.ours),
      beside: `${inMs(walk.beside)} reading the plain file`,
      found: walk.ours,
      unit: 'ms',
      goal: null,
    },
    { what: 'verify a run of 72 h', ours: inMs(verifyMs), beside: '', found: verifyMs, unit: 'ms', goal: null },
    {
      what: 'a run of 72 h on the disk',
      ours: inMb(kept),
      beside: `${inMb(bytes)} of raw text`,
      found: kept / bytes,
      unit: '×',
      goal: null,
    },
  ];
}

/** Lock, index with all its checks, end of the log: until recording can go on. */
async function openTime(data: string, id: string): Promise<number> {
  const from = performance.now();
  const library = new RunLibrary(data, { nowMs: () => Date.now(), report: (line) => console.error(line) });
  await library.reopen(id);
  const ms = performance.now() - from;
  await library.end();
  return ms;
}

function walked(folder: string): void {
  let records = 0;
  for (const item of readLog(nodeDisk, folder)) if (item.kind === 'record') records++;
  if (records < TRIP_FRAMES) throw new Error(`${records} records were read`);
}

function seekTimes(data: string, id: string): Float64Array {
  const run = readRun(data, id);
  const times = new Float64Array(SEEKS);
  for (let i = 0; i < SEEKS; i++) {
    const wanted = Math.floor((i * 7919 * 1000) % (TRIP_FRAMES * 1000));
    const from = performance.now();
    for (const item of run.read(run.placeAtMs(wanted))) {
      if (item.kind === 'record' && item.record.kind === 'bytes' && item.record.arrivalMs >= wanted) break;
    }
    times[i] = performance.now() - from;
  }
  run.close();
  return times;
}
