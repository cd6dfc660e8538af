/**
 * The stream that most benchmarks read: 72 h at 1 Hz, 259,200 frames of 20 items in record 1, simulated from a fixed
 * seed. Made once and kept in the system's folder for temporary files.
 */
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Plan } from '../../src/plan/planSchema.ts';
import { longPlan, trip } from '../support/trips.ts';

export const TRIP_SEED = 7201;
export const TRIP_FRAMES = 259_200;
export const TRIP_JOINTS = 363;
/** Left out of the 26 items that the simulated rig sends, so that 20 remain: none of them feeds the pipeline. */
const LEFT_OUT = /^(?:0102|0104|0107|0133|0134|0137).*\r\n/gm;

export interface Trip72h {
  readonly plan: Plan;
  readonly planFile: string;
  readonly streamFile: string;
}

/** Changes whenever the simulator gives other bytes, so that an old file is not taken for a new one. */
function simulatorDigest(): string {
  const { bytes } = trip(TRIP_SEED, longPlan(2));
  return createHash('sha256').update(bytes).digest('hex').slice(0, 12);
}

function madeStream(plan: Plan): string {
  const text = Buffer.from(trip(TRIP_SEED, plan).bytes).toString('latin1').replace(LEFT_OUT, '');
  let end = 0;
  for (let frame = 0; frame < TRIP_FRAMES; frame++) {
    const mark = text.indexOf('!!', end);
    if (mark < 0) throw new Error(`the simulated trip has ${frame} frames, expected ${TRIP_FRAMES}`);
    end = mark + 4;
  }
  const stream = text.slice(0, end);
  const items = stream.slice(0, stream.indexOf('!!')).split('\r\n').length - 2;
  if (items !== 20) throw new Error(`a frame holds ${items} items, expected 20`);
  return stream;
}

export function trip72h(): Trip72h {
  const folder = join(tmpdir(), 'jointwise-bench');
  const plan = longPlan(TRIP_JOINTS);
  const name = join(folder, `trip72h-${TRIP_SEED}-${simulatorDigest()}`);
  const made = { plan, planFile: `${name}-plan.json`, streamFile: `${name}.wits` };
  if (!existsSync(made.streamFile)) {
    mkdirSync(folder, { recursive: true });
    const part = `${made.streamFile}.part`;
    writeFileSync(part, madeStream(plan), 'latin1');
    renameSync(part, made.streamFile);
  }
  writeFileSync(made.planFile, JSON.stringify(plan));
  return made;
}

/**
 * The plan file of the same trip over a shorter liner: its first joints. The stream fits it as long as the tools are in them.
 */
export function shorterPlanFile({ plan, planFile }: Trip72h, joints: number): string {
  const file = planFile.replace(/\.json$/, `-${joints}.json`);
  writeFileSync(
    file,
    JSON.stringify({ ...plan, liner: { ...plan.liner, joints: plan.liner.joints.slice(0, joints) } }),
  );
  return file;
}

/** The first frames of the trip, one text a frame with its marks. `from`: frames to skip. */
export function tripFrames(streamFile: string, from: number, count: number): string[] {
  const text = readFileSync(streamFile, 'latin1');
  const frames: string[] = [];
  let at = 0;
  for (let frame = 0; frame < from + count; frame++) {
    const end = text.indexOf('!!', at) + 4;
    if (frame >= from) frames.push(text.slice(at, end));
    at = end;
  }
  return frames;
}

export function* chunksOf(bytes: Buffer, chunkBytes: number): Generator<Buffer, void, undefined> {
  for (let from = 0; from < bytes.length; from += chunkBytes) yield bytes.subarray(from, from + chunkBytes);
}
