/** The samples of a run as columns: what is played again, what is counted again. */
import { CHANNEL_IDS, emptySample, type Sample } from '../channels.ts';

/** Rows that a run may have here: a week at 1 Hz, or three days at 2 Hz. */
export const MOST_ROWS = 7 * 24 * 3600;

export interface SampleColumns {
  rows: number;
  /** ms since 1970 UTC, strictly increasing. Longer than `rows` where there is room for more. */
  sourceMs: Float64Array;
  /** In the order of `CHANNEL_IDS`; NaN: no valid value. Most rigs lack half of them: those are all `absent`. */
  channels: Float64Array[];
  /** NaN throughout; never written to. */
  absent: Float64Array;
}

const unknown = (length: number): Float64Array => new Float64Array(length).fill(Number.NaN);

export function createSampleColumns(capacity = 0): SampleColumns {
  const absent = unknown(capacity);
  return { rows: 0, sourceMs: new Float64Array(capacity), channels: CHANNEL_IDS.map(() => absent), absent };
}

/** Makes room for `rows` rows in all; what is held stays. */
export function makeRoomFor(columns: SampleColumns, rows: number): void {
  if (rows <= columns.sourceMs.length) return;
  const capacity = Math.max(rows, 2 * columns.sourceMs.length);
  const longer = (column: Float64Array): Float64Array => {
    const wide = new Float64Array(capacity);
    wide.set(column);
    return wide;
  };
  const absent = unknown(capacity);
  columns.sourceMs = longer(columns.sourceMs);
  columns.channels = columns.channels.map((column) => (column === columns.absent ? absent : longer(column)));
  columns.absent = absent;
}

/** A channel that may be written to: one that was absent gets a column of its own. */
export function ownColumn(columns: SampleColumns, channel: number): Float64Array {
  const column = columns.channels[channel]!;
  if (column !== columns.absent) return column;
  const own = unknown(column.length);
  columns.channels[channel] = own;
  return own;
}

export function addSample(columns: SampleColumns, sample: Sample): void {
  makeRoomFor(columns, columns.rows + 1);
  columns.sourceMs[columns.rows] = sample.sourceMs;
  for (let c = 0; c < CHANNEL_IDS.length; c += 1) {
    const value = sample[CHANNEL_IDS[c]!];
    if (columns.channels[c] === columns.absent && Number.isNaN(value)) continue;
    ownColumn(columns, c)[columns.rows] = value;
  }
  columns.rows += 1;
}

/** Samples at or before `ms`. */
export function rowsUpTo({ sourceMs, rows }: SampleColumns, ms: number): number {
  let low = 0;
  let high = rows;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (sourceMs[middle]! <= ms) low = middle + 1;
    else high = middle;
  }
  return low;
}

/**
 * Gives the samples one after another in one object, which is the same each time: a run keeps no sample but the newest.
 * A sample that is played again arrives when it was measured.
 */
export function createSampleReader(columns: SampleColumns): (row: number) => Sample {
  const sample = emptySample(Number.NaN, Number.NaN);
  return (row) => {
    const c = columns.channels;
    sample.sourceMs = columns.sourceMs[row]!;
    sample.arrivalMs = sample.sourceMs;
    sample.bitDepth = c[0]![row]!;
    sample.holeDepth = c[1]![row]!;
    sample.blockPosition = c[2]![row]!;
    sample.hookload = c[3]![row]!;
    sample.torque = c[4]![row]!;
    sample.rotation = c[5]![row]!;
    sample.standpipePressure = c[6]![row]!;
    sample.annulusPressure = c[7]![row]!;
    sample.flowIn = c[8]![row]!;
    sample.flowOut = c[9]![row]!;
    sample.flowOutShare = c[10]![row]!;
    sample.strokeRate1 = c[11]![row]!;
    sample.strokeRate2 = c[12]![row]!;
    sample.strokeRate3 = c[13]![row]!;
    sample.strokeCount = c[14]![row]!;
    sample.tankVolume = c[15]![row]!;
    sample.densityIn = c[16]![row]!;
    sample.temperatureIn = c[17]![row]!;
    sample.temperatureOut = c[18]![row]!;
    sample.inSlips = c[19]![row]!;
    return sample;
  };
}
