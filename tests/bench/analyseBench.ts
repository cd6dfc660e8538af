/** 72 h worked out to the record, beside the naive reading of the same bytes: in process and warm, then as whole programs. */
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { recordOfStream } from '../../server/cli/recordOfStream.ts';
import { READERS } from '../../server/readers.ts';
import { compileJob } from '../../src/plan/job.ts';
import { type BenchLine, inMs } from './benchLine.ts';
import { interleave, type Timed } from './interleave.ts';
import { naiveRead, naiveReadInPieces } from './naiveRead.ts';
import { chunksOf, TRIP_FRAMES, type Trip72h, trip72h } from './trip72h.ts';

const ROUNDS = 7;
const PROGRAM_ROUNDS = 5;
const CHUNK_BYTES = 64 * 1024;

const program = fileURLToPath(new URL('../../bin/jointwise.mjs', import.meta.url));
const naiveProgram = fileURLToPath(new URL('./naiveReadMain.js', import.meta.url));

async function* streamed(bytes: Buffer): AsyncGenerator<Uint8Array, void, undefined> {
  yield* chunksOf(bytes, CHUNK_BYTES);
}

async function inProcess(trip: Trip72h, naive: (bytes: Buffer) => unknown): Promise<Timed> {
  const bytes = readFileSync(trip.streamFile);
  const job = compileJob(trip.plan);
  const ours = async () => {
    const stream = { name: trip.streamFile, chunks: () => streamed(bytes) };
    const record = await recordOfStream(job, [], stream, (_, as, sink) => READERS.wits0(as, sink));
    if (record.source.frames !== TRIP_FRAMES) throw new Error(`${record.source.frames} frames, not ${TRIP_FRAMES}`);
  };
  return interleave(ROUNDS, ours, () => naive(bytes));
}

function runProgram(args: readonly string[]): void {
  const { status, stderr } = spawnSync(process.execPath, args, { stdio: ['ignore', 'ignore', 'pipe'] });
  if (status !== 0) throw new Error(`${args[0]} ended with ${status}: ${stderr}`);
}

const asPrograms = ({ planFile, streamFile }: Trip72h): Promise<Timed> =>
  interleave(
    PROGRAM_ROUNDS,
    () => runProgram([program, 'analyse', '--plan', planFile, '--in', streamFile, '--quiet']),
    () => runProgram([naiveProgram, streamFile]),
    1,
  );

const line = (what: string, goal: number | null, naive: string, { ours, beside, ratio }: Timed): BenchLine => ({
  what,
  ours: inMs(ours),
  beside: `${inMs(beside)} ${naive}`,
  found: ratio,
  unit: '×',
  goal,
});

export async function run(): Promise<BenchLine[]> {
  const trip = trip72h();
  const inPieces = (bytes: Buffer) => naiveReadInPieces(chunksOf(bytes, CHUNK_BYTES));
  return [
    line('analyse 72 h, bytes to record', 1, 'naive reading', await inProcess(trip, naiveRead)),
    line('analyse 72 h, bytes to record', 1, 'naive reading in pieces', await inProcess(trip, inPieces)),
    line('analyse 72 h, the whole command', null, 'naive program', await asPrograms(trip)),
  ];
}
