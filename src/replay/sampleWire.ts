/**
 * The samples of a run as bytes, version 1, little endian, bit for bit what they were:
 *
 *   0  u8   version (1)    1  u8  value columns    2  u16  rows of a whole block    4  u32  number of the first row
 *   8  u32  rows          12  u32 zero
 *  16  blocks: u32 rows, u32 zero, then the times and each channel in the order of `CHANNEL_IDS`, packed
 *
 * A run that goes on packs each block when it is full, so that a long run is small in memory and quickly sent. Who has seen
 * some of it is sent the rest from the bound of a block on.
 */
import { CHANNEL_IDS, CHANNELS, type Sample } from '../channels.ts';
import { UNIT_NAMES, UNITS } from '../units.ts';
import {
  COLUMN_HEADER_BYTES,
  type ColumnBytes,
  type ColumnUnit,
  columnBytes,
  isUnknownColumn,
  mostColumnBytes,
  packColumnInto,
  unpackColumn,
} from './columnPacking.ts';
import {
  addSample,
  createSampleColumns,
  MOST_ROWS,
  makeRoomFor,
  ownColumn,
  type SampleColumns,
} from './sampleColumns.ts';

const VERSION = 1;
const HEAD_BYTES = 16;
const BLOCK_HEAD_BYTES = 8;
/** Half an hour at 1 Hz. */
export const BLOCK_ROWS = 2048;

/** The most that a block can take: no column of it packs. */
const MOST_BLOCK_BYTES = BLOCK_HEAD_BYTES + (CHANNEL_IDS.length + 1) * mostColumnBytes(BLOCK_ROWS);
/** What a row takes on a rig that sends twenty channels; one of a dozen takes half. */
const USUAL_ROW_BYTES = 32;
/** Room that is added where a stream packs badly, or nobody knows how long it will be. */
const SLAB_BYTES = 1024 * 1024;

/** `growing`: room is made as rows come. `whole`: the first row makes all the room that a run usually takes, see `TraceRoom`. */
export type LogRoom = 'growing' | 'whole';

export interface SampleLog {
  rows: number;
  /** No more are taken. */
  readonly mostRows: number;
  readonly room: LogRoom;
  /** Whole blocks, packed; they lie one behind another in slabs, so that a long run leaves no thousands of small pieces. */
  readonly blocks: Uint8Array[];
  /** The newest slab, and where the next block goes in it. */
  slab: Uint8Array<ArrayBuffer>;
  slabEnd: number;
  /** The rows since. */
  open: SampleColumns;
}

export const createSampleLog = (mostRows: number = MOST_ROWS, room: LogRoom = 'growing'): SampleLog => ({
  rows: 0,
  mostRows: Math.min(mostRows, MOST_ROWS),
  room,
  blocks: [],
  slab: new Uint8Array(0),
  slabEnd: 0,
  open: createSampleColumns(BLOCK_ROWS),
});

/** Bytes that the log takes now. */
export const logBytes = ({ blocks, slab }: SampleLog): number => {
  const slabs = new Map([...blocks, slab].map(({ buffer }) => [buffer, buffer.byteLength]));
  return [...slabs.values()].reduce((sum, bytes) => sum + bytes, 0);
};

/** Units that the values of each channel may have come in. */
const CHANNEL_UNITS: readonly (readonly ColumnUnit[])[] = CHANNEL_IDS.map((id) =>
  UNIT_NAMES.map((name) => UNITS[name]).filter((unit) => unit.quantity === CHANNELS[id].quantity && unit.scale !== 1),
);

/** @returns false when the log is full: the sample is not taken. */
export function logSample(log: SampleLog, sample: Sample): boolean {
  if (log.rows === log.mostRows) return false;
  if (log.rows === 0 && log.room === 'whole') addSlab(log, log.mostRows * USUAL_ROW_BYTES + MOST_BLOCK_BYTES);
  addSample(log.open, sample);
  log.rows += 1;
  if (log.open.rows === BLOCK_ROWS) keepBlock(log);
  return true;
}

/** Every byte is written to: only then does the system give the memory that it promised. */
function addSlab(log: SampleLog, bytes: number): void {
  log.slab = new Uint8Array(bytes).fill(0);
  log.slabEnd = 0;
}

function keepBlock(log: SampleLog): void {
  if (log.slab.length - log.slabEnd < MOST_BLOCK_BYTES) addSlab(log, SLAB_BYTES);
  const end = packBlock(log.open, log.slab, log.slabEnd);
  log.blocks.push(log.slab.subarray(log.slabEnd, end));
  log.slabEnd = end;
  log.open.rows = 0;
}

/** @returns where the block ends */
function packBlock({ rows, sourceMs, channels }: SampleColumns, out: Uint8Array<ArrayBuffer>, at: number): number {
  const view = new DataView(out.buffer, out.byteOffset + at, BLOCK_HEAD_BYTES);
  view.setUint32(0, rows, true);
  view.setUint32(4, 0, true);
  let end = packColumnInto(sourceMs.subarray(0, rows), [], out, at + BLOCK_HEAD_BYTES);
  for (let c = 0; c < channels.length; c += 1) {
    end = packColumnInto(channels[c]!.subarray(0, rows), CHANNEL_UNITS[c]!, out, end);
  }
  return end;
}

/** The rows that fill no block yet. */
function openBlock({ open }: SampleLog): Uint8Array {
  const out = new Uint8Array(MOST_BLOCK_BYTES);
  return out.subarray(0, packBlock(open, out, 0));
}

/** All rows from the block that `fromRow` lies in. */
export function encodeSamples(log: SampleLog, fromRow = 0): Uint8Array {
  const seen = Math.min(Math.max(0, Math.floor(fromRow / BLOCK_ROWS)), log.blocks.length);
  const blocks = log.blocks.slice(seen);
  if (log.open.rows > 0) blocks.push(openBlock(log));
  const bytes = new Uint8Array(blocks.reduce((sum, block) => sum + block.length, HEAD_BYTES));
  const view = new DataView(bytes.buffer);
  view.setUint8(0, VERSION);
  view.setUint8(1, CHANNEL_IDS.length);
  view.setUint16(2, BLOCK_ROWS, true);
  view.setUint32(4, seen * BLOCK_ROWS, true);
  view.setUint32(8, log.rows - seen * BLOCK_ROWS, true);
  let at = HEAD_BYTES;
  for (const block of blocks) {
    bytes.set(block, at);
    at += block.length;
  }
  return bytes;
}

export type Decoded =
  | { readonly kind: 'samples'; readonly firstRow: number }
  | { readonly kind: 'bad'; readonly reason: string };

/**
 * Reads what `encodeSamples` wrote into `columns`, over whatever they hold from the first row on. Never throws: bytes that
 * cannot be meant come back as `bad` with the reason, and the columns hold no more than the rows before.
 */
export function decodeSamples(given: Uint8Array, columns: SampleColumns): Decoded {
  const bad = (reason: string): Decoded => ({ kind: 'bad', reason });
  if (given.length < HEAD_BYTES) return bad(`found ${given.length} bytes, expected at least ${HEAD_BYTES}`);
  const from = columnBytes(given);
  const { view } = from;
  if (given[0] !== VERSION) return bad(`found version ${given[0]}, expected ${VERSION}`);
  if (given[1] !== CHANNEL_IDS.length) return bad(`found ${given[1]} columns, expected ${CHANNEL_IDS.length}`);
  const firstRow = view.getUint32(4, true);
  const rows = view.getUint32(8, true);
  if (firstRow > columns.rows) return bad(`found first row ${firstRow}, expected at most ${columns.rows}`);
  if (firstRow + rows > MOST_ROWS) return bad(`found ${firstRow + rows} rows, expected at most ${MOST_ROWS}`);
  makeRoomFor(columns, firstRow + rows);
  columns.rows = firstRow;
  let at: number = HEAD_BYTES;
  let row = firstRow;
  while (at < given.length) {
    const end = unpackBlock(from, at, columns, row, firstRow + rows);
    if (end === null) return bad(`byte ${at}: found a block that is not whole`);
    row += view.getUint32(at, true);
    at = end;
  }
  if (row !== firstRow + rows) return bad(`found ${row - firstRow} rows, expected ${rows}`);
  for (let i = Math.max(1, firstRow); i < row; i += 1) {
    if (!(columns.sourceMs[i]! > columns.sourceMs[i - 1]!)) return bad(`row ${i}: expected a later time`);
  }
  columns.rows = row;
  return { kind: 'samples', firstRow };
}

function unpackBlock(from: ColumnBytes, at: number, columns: SampleColumns, row: number, most: number): number | null {
  if (at + BLOCK_HEAD_BYTES > from.view.byteLength) return null;
  const rows = from.view.getUint32(at, true);
  if (rows === 0 || rows > BLOCK_ROWS || row + rows > most) return null;
  let next = unpackColumn(from, at + BLOCK_HEAD_BYTES, rows, columns.sourceMs, row);
  for (let c = 0; c < columns.channels.length && next !== null; c += 1) {
    const isAbsent = columns.channels[c] === columns.absent && isUnknownColumn(from, next);
    next = isAbsent ? next + COLUMN_HEADER_BYTES : unpackColumn(from, next, rows, ownColumn(columns, c), row);
  }
  return next;
}
