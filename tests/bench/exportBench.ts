/** A run of 72 h written for other programs: how long, how large, and for how long a live run would be held up by a piece. */
import { readFileSync } from 'node:fs';
import { READERS } from '../../server/readers.ts';
import { EXPORT_KINDS, EXPORT_NAMES, type ExportName } from '../../src/export/exportKinds.ts';
import { workCourse } from '../../src/export/workedCourse.ts';
import { compileJob } from '../../src/plan/job.ts';
import { workWhole } from '../../src/replay/course.ts';
import { addSample, createSampleColumns } from '../../src/replay/sampleColumns.ts';
import { type BenchLine, inMb, inMs } from './benchLine.ts';
import { TRIP_FRAMES, trip72h } from './trip72h.ts';

const SOURCE = { frames: TRIP_FRAMES, rejected: 0, reasons: {} };

interface Walked<T> {
  readonly result: T;
  readonly ms: number;
  readonly longestMs: number;
  readonly bytes: number;
}

/** Drains a writer as a download does, each piece timed and dropped. */
function walk<T>(pieces: Generator<string | number, T>): Walked<T> {
  const from = performance.now();
  let before = from;
  let longestMs = 0;
  let bytes = 0;
  for (let piece = pieces.next(); ; piece = pieces.next()) {
    const now = performance.now();
    longestMs = Math.max(longestMs, now - before);
    before = now;
    if (piece.done) return { result: piece.value, ms: now - from, longestMs, bytes };
    if (typeof piece.value === 'string') bytes += piece.value.length;
  }
}

function lineOf(as: ExportName, { ms, longestMs, bytes }: Walked<unknown>): BenchLine {
  return {
    what: `72 h as ${as}: longest piece`,
    ours: inMs(longestMs),
    beside: '',
    found: longestMs,
    unit: 'ms',
    // The longest of thousands: on a machine with other work it says more of that.
    goal: null,
    note: `${inMb(bytes)} in ${inMs(ms)}`,
  };
}

export async function run(): Promise<BenchLine[]> {
  const { plan, streamFile } = trip72h();
  const samples = createSampleColumns(TRIP_FRAMES);
  const reader = READERS.wits0(compileJob(plan).stream, (sample) => addSample(samples, sample));
  reader.push(readFileSync(streamFile), Number.NaN);
  reader.end();
  const course = { plan, tag: 'apply', depthOffsetM: 0, samples, entries: [] } as const;
  const from = performance.now();
  workWhole(course);
  const plainMs = performance.now() - from;
  const worked = walk(workCourse(course, SOURCE));
  const input = { ...worked.result, name: '72 h', units: 'field' } as const;
  return [
    {
      what: '72 h worked through for the files',
      ours: inMs(worked.ms),
      beside: inMs(plainMs),
      found: worked.ms / plainMs,
      unit: '×',
      goal: null,
      note: `beside: the run alone; the longest turn ${inMs(worked.longestMs)}`,
    },
    ...EXPORT_NAMES.map((as) => lineOf(as, walk(EXPORT_KINDS[as].write(input, {})))),
  ];
}
