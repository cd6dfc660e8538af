/** The whole run at a glance: depth against time, phases, events, holes in the data, what people did. */
import type { EventState } from '../live/messages.ts';
import type { PhaseName } from '../phases.ts';
import { gapAfterMs } from '../pipeline/period.ts';
import type { Run } from '../pipeline/run.ts';
import { eventStateOf, eventsOf } from '../pipeline/view.ts';
import type { Player } from './player.ts';
import type { SampleColumns } from './sampleColumns.ts';
import type { ShownRows } from './shownRows.ts';

/** Stretches of time that depth is summed up in: two for each pixel of a wide screen are more than can be seen. */
export const MOST_SLOTS = 2000;

export interface Overview {
  readonly fromMs: number;
  readonly toMs: number;
  readonly samples: number;
  /** Of each slot that has a sample: its first instant, the least and the greatest depth of the string's end, m. */
  readonly slotMs: Float64Array;
  readonly least: Float32Array;
  readonly greatest: Float32Array;
  readonly phases: readonly {
    readonly phase: PhaseName;
    readonly joint: string | null;
    readonly fromMs: number;
    readonly toMs: number;
  }[];
  readonly events: readonly EventState[];
  /** Stretches without a sample. */
  readonly holes: readonly (readonly [fromMs: number, toMs: number])[];
  readonly entries: readonly {
    readonly atMs: number;
    readonly by: string;
    readonly action: string;
    readonly text: string;
  }[];
}

/** @param player at the end of the run */
export function overviewOf(player: Player, shown: ShownRows): Overview {
  const { samples } = player.course;
  const { run } = player.at;
  const fromMs = samples.rows > 0 ? samples.sourceMs[0]! : 0;
  const toMs = samples.rows > 0 ? samples.sourceMs[samples.rows - 1]! : 0;
  const { entries } = run.phases;
  return {
    fromMs,
    toMs,
    samples: samples.rows,
    ...slotsOf(samples, shown.depth, fromMs, toMs),
    phases: entries.map(({ phase, joint, fromMs: at }, i) => ({
      phase,
      joint,
      fromMs: at,
      toMs: entries[i + 1]?.fromMs ?? toMs,
    })),
    events: eventsOf(run).map(eventStateOf),
    holes: holesOf(samples, run),
    entries: run.journal.entries.map(({ at, by, action, text }) => ({ atMs: Date.parse(at), by, action, text })),
  };
}

function slotsOf(
  samples: SampleColumns,
  depths: Float32Array,
  fromMs: number,
  toMs: number,
): Pick<Overview, 'slotMs' | 'least' | 'greatest'> {
  const slotMs = new Float64Array(MOST_SLOTS);
  const least = new Float32Array(MOST_SLOTS);
  const greatest = new Float32Array(MOST_SLOTS);
  const width = Math.max(1, (toMs - fromMs + 1) / MOST_SLOTS);
  let slot = -1;
  let at = -1;
  for (let row = 0; row < samples.rows; row += 1) {
    const depth = depths[row]!;
    if (Number.isNaN(depth)) continue;
    const of = Math.floor((samples.sourceMs[row]! - fromMs) / width);
    if (of !== slot) {
      slot = of;
      at += 1;
      slotMs[at] = samples.sourceMs[row]!;
      least[at] = depth;
      greatest[at] = depth;
    } else if (depth < least[at]!) least[at] = depth;
    else if (depth > greatest[at]!) greatest[at] = depth;
  }
  return { slotMs: slotMs.slice(0, at + 1), least: least.slice(0, at + 1), greatest: greatest.slice(0, at + 1) };
}

function holesOf({ sourceMs, rows }: SampleColumns, run: Run): [number, number][] {
  const afterMs = gapAfterMs(run.period, run.job.stream.gapAfterMs);
  const holes: [number, number][] = [];
  for (let row = 1; row < rows; row += 1) {
    if (sourceMs[row]! - sourceMs[row - 1]! > afterMs) holes.push([sourceMs[row - 1]!, sourceMs[row]!]);
  }
  return holes;
}
