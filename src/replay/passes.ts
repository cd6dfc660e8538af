/** Every pass of a tool over a joint, by depth of the tool, so that they can be laid over one another. */
import { CHANNEL_INDEX } from '../channels.ts';
import type { Job } from '../plan/job.ts';
import type { SampleColumns } from './sampleColumns.ts';
import type { ShownRows } from './shownRows.ts';

/** What is drawn over depth, each a column of a pass. */
export const PASS_COLUMNS = ['pressure', 'rotation', 'torque', 'feed', 'setDown'] as const;
export type PassColumn = (typeof PASS_COLUMNS)[number];

export interface Pass extends Readonly<Record<PassColumn, Float32Array>> {
  readonly tool: number;
  /** Index in the job. */
  readonly joint: number;
  /** No later one goes over the joint with a tool of its recipe. */
  readonly isLast: boolean;
  readonly fromMs: number;
  readonly toMs: number;
  /** The rows [fromRow, toRow) of the samples that it is made of, for whoever wants other columns or every reading. */
  readonly fromRow: number;
  readonly toRow: number;
  /** Depths of the tool's contact, m; the columns say what was read there: kPa, rpm, kN·m, m/min, kN, NaN: not known. */
  readonly depth: Float32Array;
}

/** A tool that moves less than this inside a joint has not passed it, m. */
const LEAST_M = 0.2;
/** Lifted by more than this, more than heave and stretch do: the pass is over, m. */
const BACK_M = 0.3;
/** Out of the joint, or without a sample, for longer than this: another pass, ms. */
const APART_MS = 60_000;
/** Points of a pass, and of one among the passes of many joints: more cannot be told apart on a screen. */
const MOST_POINTS = 800;
const LEAST_POINTS = 40;
/** Of one joint. */
export const MOST_PASSES = 200;

/** A run as its passes are cut out of it. */
export interface PassSource {
  readonly samples: SampleColumns;
  readonly shown: Pick<ShownRows, 'depth' | 'feed' | 'setDown'>;
  readonly job: Job;
}

/** Every pass over each joint that lies in a range of depth and is to be expanded; joints top down, each in order of time. */
export function passesBetween(of: PassSource, fromM: number, toM: number): Pass[] {
  const joints = of.job.joints.filter(({ recipe, top, bottom }) => recipe && bottom > fromM && top < toM);
  const points = Math.max(LEAST_POINTS, Math.floor((2 * MOST_POINTS) / Math.max(2, joints.length)));
  return joints.flatMap(({ index }) => passesOf(of, index, points));
}

/** @param joint index in the job @returns in order of time; the oldest are left out where there are too many */
export function passesOf(of: PassSource, joint: number, mostPoints = MOST_POINTS): Pass[] {
  const { samples, shown, job } = of;
  const { top, bottom, recipe } = job.joints[joint]!;
  const tools = recipe?.tools ?? job.tools.map(({ index }) => index);
  const found = tools.flatMap((tool) => {
    const offset = job.tools[tool]!.offsetM;
    return stretches(samples, shown.depth, top + offset, bottom + offset).map(([from, to]) => ({ tool, from, to }));
  });
  const latest = found.sort((a, b) => a.from - b.from).slice(-MOST_PASSES);
  return latest.map(({ tool, from, to }, i) => ({
    tool,
    joint,
    isLast: i === latest.length - 1,
    fromMs: samples.sourceMs[from]!,
    toMs: samples.sourceMs[to - 1]!,
    fromRow: from,
    toRow: to,
    ...columnsOf(of, job.tools[tool]!.offsetM, from, to, mostPoints),
  }));
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

function columnsOf(
  { samples, shown }: PassSource,
  offset: number,
  from: number,
  to: number,
  mostPoints: number,
): Pick<Pass, 'depth' | PassColumn> {
  const stride = Math.ceil((to - from) / mostPoints);
  const points = Math.ceil((to - from) / stride);
  const column = (values: Float32Array | Float64Array, less = 0): Float32Array =>
    Float32Array.from({ length: points }, (_, i) => values[from + i * stride]! - less);
  const channel = (id: 'standpipePressure' | 'rotation' | 'torque') => column(samples.channels[CHANNEL_INDEX[id]]!);
  return {
    depth: column(shown.depth, offset),
    pressure: channel('standpipePressure'),
    rotation: channel('rotation'),
    torque: channel('torque'),
    feed: column(shown.feed),
    setDown: column(shown.setDown),
  };
}
