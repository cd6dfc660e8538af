/** A run of 72 h counted again in Node and in the browser's worker, sought in both, and sent to the browser. */
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import type { Page } from 'playwright-core';
import { systemClock } from '../../ingest/clock.ts';
import { fileSource } from '../../ingest/fileSource.ts';

import { READERS } from '../../server/readers.ts';
import { startService } from '../../server/service.ts';
import { CHANNEL_IDS, type ChannelId, emptySample, type Sample } from '../../src/channels.ts';
import { advanceSample, createRun } from '../../src/pipeline/run.ts';
import { compileJob } from '../../src/plan/job.ts';
import type { Course } from '../../src/replay/course.ts';
import { createPlayer, seek, shownOf } from '../../src/replay/player.ts';
import { addSample, createSampleColumns, createSampleReader } from '../../src/replay/sampleColumns.ts';
import { createSampleLog, decodeSamples, encodeSamples, logSample } from '../../src/replay/sampleWire.ts';
import { countCourse } from '../../src/replay/whatIf.ts';
import { rowCount } from '../../src/traces/traceStore.ts';
import { type BenchLine, inMb, inMs } from './benchLine.ts';
import { interleave, median, quantile } from './interleave.ts';
import { openPage } from './openPage.ts';
import { plainCount } from './plainCount.ts';
import { TRIP_FRAMES, trip72h } from './trip72h.ts';

/** The built page; the path holds in the built benchmark too. */
const PAGE = fileURLToPath(new URL('../../dist/web', import.meta.url));
const ROUNDS = 7;
const SEEKS = 60;
const SOURCE = { frames: TRIP_FRAMES, rejected: 0, reasons: {} };
/** Columns of the stream that hold readings: the first so many are sent. */
const COLUMNS = 10;
const columnsOf = (samples: readonly Sample[]): ChannelId[] =>
  CHANNEL_IDS.filter((id) => !Number.isNaN(samples[0]![id])).slice(0, COLUMNS);

/** As the page holds it: in columns alone, so that no heap full of samples holds the engine up. */
function readCourse(): Course {
  const { plan, streamFile } = trip72h();
  const columns = createSampleColumns(TRIP_FRAMES);
  const reader = READERS.wits0(compileJob(plan).stream, (sample) => addSample(columns, sample));
  reader.push(readFileSync(streamFile), Number.NaN);
  reader.end();
  return { plan, tag: 'offer', depthOffsetM: 0, samples: columns, entries: [] };
}

function samplesOf({ samples }: Course): Sample[] {
  const at = createSampleReader(samples);
  return Array.from({ length: samples.rows }, (_, row) => ({ ...at(row) }));
}

async function recountLines(course: Course, samples: readonly Sample[]): Promise<BenchLine[]> {
  const job = compileJob(course.plan);
  const counted = () => countCourse(course, SOURCE);
  const plain = () => plainCount(job, course.samples);
  const folded = () => {
    const run = createRun(job);
    for (const sample of samples) advanceSample(run, sample);
  };
  const chain = await interleave(ROUNDS, counted, folded, 2);
  const { ours, beside, ratio } = await interleave(ROUNDS, counted, plain, 2);
  return [
    {
      what: 'recount of 72 h in Node',
      ours: inMs(ours),
      beside: '',
      found: ours,
      unit: 'ms',
      goal: 1000,
      note: `${course.samples.rows} samples, ${job.joints.length} joints`,
    },
    {
      what: 'the whole chain beside the same fold in a plain loop',
      ours: inMs(chain.ours),
      beside: `${inMs(chain.beside)} the fold over samples made ready`,
      found: chain.ratio,
      unit: '×',
      goal: 5,
      note: 'chain: columns to samples, journal between them, fold, record',
    },
    {
      what: 'the same beside the least that any count must do',
      ours: inMs(ours),
      beside: `${inMs(beside)} depth, feed, bounds, metres in one loop`,
      found: ratio,
      unit: '×',
      goal: null,
      note: 'without phases, events, sensors, stretch, losses, gaps or roundings',
    },
  ];
}

/** Instants all over the run, far apart from one to the next, the same each time. */
function instants({ samples }: Course): number[] {
  const from = samples.sourceMs[0]!;
  const span = samples.sourceMs[samples.rows - 1]! - from;
  return Array.from({ length: SEEKS }, (_, i) => from + span * ((i * 0.618034 + 0.123) % 1));
}

function seekLine(course: Course): BenchLine {
  const player = createPlayer(course);
  seek(player, Infinity);
  const took = instants(course).map((ms) => {
    const from = performance.now();
    seek(player, ms);
    shownOf(player.at);
    return performance.now() - from;
  });
  const p99 = quantile(took, 0.99);
  const copies = `${player.copies.length} copies of the run are kept`;
  return {
    what: 'seek anywhere in 72 h, in Node, p99',
    ours: inMs(p99),
    beside: `${inMs(median(took))} median`,
    found: p99,
    unit: 'ms',
    goal: 200,
    note: copies,
  };
}

async function wireLines(samples: readonly Sample[]): Promise<BenchLine[]> {
  const ids = columnsOf(samples);
  const log = createSampleLog();
  for (const sample of samples) {
    const ten = emptySample(sample.sourceMs, sample.sourceMs);
    for (const id of ids) ten[id] = sample[id];
    logSample(log, ten);
  }
  const bytes = encodeSamples(log);
  const packed = gzipSync(bytes);
  const rows = samples.map((sample) => [
    sample.sourceMs,
    ...ids.map((id) => (Number.isNaN(sample[id]) ? null : sample[id])),
  ]);
  const json = JSON.stringify(rows);
  const into = createSampleColumns(samples.length);
  const decode = () => {
    into.rows = 0;
    if (decodeSamples(bytes, into).kind === 'bad') throw new Error('not decoded');
  };
  const same = [new Float64Array(samples.length), ...ids.map(() => new Float64Array(samples.length))];
  const parse = () => {
    const parsed = JSON.parse(json) as (number | null)[][];
    for (const [row, values] of parsed.entries()) {
      for (const [column, array] of same.entries()) array[row] = values[column] ?? Number.NaN;
    }
  };
  const { ours, beside, ratio } = await interleave(ROUNDS, decode, parse, 3);
  return [
    {
      what: `72 h × ${ids.length} columns to the browser, packed`,
      ours: inMb(packed.length),
      beside: `${inMb(gzipSync(json).length)} as JSON, packed`,
      found: packed.length / 1e6,
      unit: 'MB',
      goal: 3,
      note: `${inMb(bytes.length)} unpacked; ${ids.join(', ')}`,
    },
    {
      what: 'the same read into typed arrays, beside JSON read into such',
      ours: inMs(ours),
      beside: `${inMs(beside)} JSON of ${inMb(json.length)}`,
      found: ratio,
      unit: '×',
      goal: 0.05,
      note: 'in Node, whose engine is that of the browser; unpacking apart, which is longer for JSON',
    },
  ];
}

interface InWorker {
  readonly loadMs: number;
  readonly recountMs: readonly number[];
  readonly seekMs: readonly number[];
}

/** Asks the worker as it is built, from a page that does nothing else. */
const inWorker = (page: Page, script: string, at: readonly number[]): Promise<InWorker> =>
  page.evaluate(
    async ([path, moments]) => {
      const course = await (await fetch('/api/course')).json();
      const bytes = new Uint8Array(await (await fetch('/api/samples')).arrayBuffer());
      const desk = new Worker(path as string, { type: 'module' });
      const ask = (question: object) =>
        new Promise<{ answer: string; why?: string; counted?: { tookMs: number } }>((resolve) => {
          desk.onmessage = ({ data }) => resolve(data);
          desk.postMessage(question);
        });
      const timed = async (question: object) => {
        const from = performance.now();
        const answer = await ask(question);
        if (answer.answer === 'refused') throw new Error(answer.why);
        return { ms: performance.now() - from, answer };
      };
      const loadMs = (await timed({ ask: 'load', course, bytes })).ms;
      const scenario = { name: 'same', bounds: {}, lengths: {}, shift: 0.5, correction: null, tag: null };
      const recountMs: number[] = [];
      for (let i = 0; i < 6; i++) {
        const { answer } = await timed({ ask: 'what if', scenario });
        if (i > 0) recountMs.push(answer.counted!.tookMs);
      }
      const seekMs: number[] = [];
      for (const ms of moments as number[]) {
        seekMs.push((await timed({ ask: 'seek', ms, knowing: 'seen', anew: true })).ms);
      }
      desk.terminate();
      return { loadMs, recountMs, seekMs };
    },
    [script, [...at]] as const,
  );

async function browserLines(course: Course): Promise<BenchLine[]> {
  const { plan, streamFile } = trip72h();
  const service = await startService({
    name: 'bench',
    plan,
    job: compileJob(plan),
    rate: 1,
    clock: systemClock,
    source: fileSource({ path: streamFile }, systemClock),
    createReader: READERS.wits0,
    host: '127.0.0.1',
    port: 0,
    allowedOrigins: [],
    page: PAGE,
  });
  try {
    await service.live.start();
    while (rowCount(service.live.traces) < course.samples.rows)
      await new Promise((resolve) => setTimeout(resolve, 100));
    const script = readdirSync(`${PAGE}/assets`).find((name) => /^replayWorker.*\.js$/.test(name))!;
    const { page, close } = await openPage(service.url);
    try {
      const { loadMs, recountMs, seekMs } = await inWorker(page, `/assets/${script}`, instants(course));
      const recount = median(recountMs);
      const p99 = quantile(seekMs, 0.99);
      return [
        {
          what: 'recount of 72 h in the browser’s worker',
          ours: inMs(recount),
          beside: '',
          found: recount,
          unit: 'ms',
          goal: 1500,
          note: `read, played through once and summed up for the time bar: ${inMs(loadMs)}`,
        },
        {
          what: 'seek anywhere in 72 h, page to worker and back, p99',
          ours: inMs(p99),
          beside: `${inMs(median(seekMs))} median`,
          found: p99,
          unit: 'ms',
          goal: 200,
        },
      ];
    } finally {
      await close();
    }
  } finally {
    await service.close();
  }
}

export async function run(): Promise<BenchLine[]> {
  const course = readCourse();
  const browser = await browserLines(course);
  const sought = seekLine(course);
  const samples = samplesOf(course);
  return [...(await recountLines(course, samples)), sought, ...(await wireLines(samples)), ...browser];
}
