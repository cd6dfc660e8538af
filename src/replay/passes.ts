/** Every pass of a tool over a joint, by depth of the tool, so that they can be laid over one another. */
import { CHANNEL_INDEX } from '../channels.ts';
import type { Job } from '../plan/job.ts';
import type { SampleColumns } from './sampleColumns.ts';

export interface Pass {
  readonly tool: number;
  readonly fromMs: number;
  readonly toMs: number;
  /** The rows [fromRow, toRow) of the samples that it is made of, for whoever wants other columns or every reading. */
  readonly fromRow: number;
  readonly toRow: number;
  /** Depths of the tool's contact, m, and what was read there; NaN: no valid value. */
  readonly depth: Float32Array;
  readonly pressure: Float32Array;
  readonly rotation: Float32Array;
  readonly torque: Float32Array;
}

/** A tool that moves less than this inside a joint has not passed it, m. */
const LEAST_M = 0.2;
/** Lifted by more than this, more than heave and stretch do: the pass is over, m. */
const BACK_M = 0.3;
/** Out of the joint, or without a sample, for longer than this: another pass, ms. */
const APART_MS = 60_000;
/** Points of a pass: more cannot be told apart on a screen. */
const MOST_POINTS = 800;
export const MOST_PASSES = 200;

/**
 * @param depths of the string's end by row, m, as they were shown
 * @param joint index in the job @returns in order of time; the oldest are left out where there are too many
 */
export function passesOf(samples: SampleColumns, depths: Float32Array, job: Job, joint: number): Pass[] {
  const { top, bottom, recipe } = job.joints[joint]!;
  const tools = recipe?.tools ?? job.tools.map(({ index }) => index);
  const passes = tools.flatMap((tool) => {
    const offset = job.tools[tool]!.offsetM;
    return stretches(samples, depths, top + offset, bottom + offset).map(([from, to]) =>
      passOf(samples, depths, tool, offset, from, to),
    );
  });
  return passes.sort((a, b) => a.fromMs - b.fromMs).slice(-MOST_PASSES);
}

/** Rows [from, to) while the end of the string goes down between two depths. */
function stretches(
  { sourceMs, rows }: SampleColumns,
  depths: Float32Array,
  top: number,
  bottom: number,
): [number, number][] {
  const found: [number, number][] = [];
  /** The pass begins at the row of its least depth and ends at that of its greatest. */
  let from = -1;
  let deepest = -1;
  let last = -1;
  const end = (): void => {
    if (from >= 0 && depths[deepest]! - depths[from]! >= LEAST_M) found.push([from, deepest + 1]);
    from = -1;
  };
  for (let row = 0; row < rows; row += 1) {
    const depth = depths[row]!;
    if (!(depth >= top && depth <= bottom)) continue;
    const isApart = last >= 0 && sourceMs[row]! - sourceMs[last]! > APART_MS;
    last = row;
    // Lifted off what has been passed: what comes next is another pass.
    if (from >= 0 && (isApart || depth < depths[deepest]! - BACK_M)) end();
    // Going up still: the pass begins where it turns.
    const isAbove = from >= 0 && depths[deepest]! - depths[from]! < LEAST_M && depth < depths[from]!;
    if (from < 0 || isAbove) {
      from = row;
      deepest = row;
    } else if (depth > depths[deepest]!) deepest = row;
  }
  end();
  return found;
}

function passOf(
  { sourceMs, channels }: SampleColumns,
  depths: Float32Array,
  tool: number,
  offset: number,
  from: number,
  to: number,
): Pass {
  const stride = Math.ceil((to - from) / MOST_POINTS);
  const points = Math.ceil((to - from) / stride);
  const column = (value: (row: number) => number): Float32Array =>
    Float32Array.from({ length: points }, (_, i) => value(from + i * stride));
  const channel = (id: 'standpipePressure' | 'rotation' | 'torque'): Float32Array => {
    const values = channels[CHANNEL_INDEX[id]]!;
    return column((row) => values[row]!);
  };
  return {
    tool,
    fromMs: sourceMs[from]!,
    toMs: sourceMs[to - 1]!,
    fromRow: from,
    toRow: to,
    depth: column((row) => depths[row]! - offset),
    pressure: channel('standpipePressure'),
    rotation: channel('rotation'),
    torque: channel('torque'),
  };
}
