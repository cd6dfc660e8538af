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
import { COLUMN_HEADER_BYTES, type ColumnUnit, isUnknownColumn, packColumn, unpackColumn } from './columnPacking.ts';
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

export interface SampleLog {
  rows: number;
  /** Whole blocks, packed. */
  readonly blocks: Uint8Array[];
  /** The rows since. */
  open: SampleColumns;
}

export const createSampleLog = (): SampleLog => ({ rows: 0, blocks: [], open: createSampleColumns(BLOCK_ROWS) });

/** Units that the values of each channel may have come in. */
const CHANNEL_UNITS: readonly (readonly ColumnUnit[])[] = CHANNEL_IDS.map((id) =>
  UNIT_NAMES.map((name) => UNITS[name]).filter((unit) => unit.quantity === CHANNELS[id].quantity && unit.scale !== 1),
);

/** @returns false when the log is full: the sample is not taken. */
export function logSample(log: SampleLog, sample: Sample): boolean {
  if (log.rows === MOST_ROWS) return false;
  addSample(log.open, sample);
  log.rows += 1;
  if (log.open.rows === BLOCK_ROWS) {
    log.blocks.push(packBlock(log.open));
    log.open.rows = 0;
  }
  return true;
}

function packBlock({ rows, sourceMs, channels }: SampleColumns): Uint8Array {
  const columns = [
    packColumn(sourceMs.subarray(0, rows), []),
    ...channels.map((values, c) => packColumn(values.subarray(0, rows), CHANNEL_UNITS[c]!)),
  ];
  const bytes = new Uint8Array(columns.reduce((sum, column) => sum + column.length, BLOCK_HEAD_BYTES));
  new DataView(bytes.buffer).setUint32(0, rows, true);
  let at = BLOCK_HEAD_BYTES;
  for (const column of columns) {
    bytes.set(column, at);
    at += column.length;
  }
  return bytes;
}

/** All rows from the block that `fromRow` lies in. */
export function encodeSamples(log: SampleLog, fromRow = 0): Uint8Array {
  const seen = Math.min(Math.max(0, Math.floor(fromRow / BLOCK_ROWS)), log.blocks.length);
  const blocks = log.blocks.slice(seen);
  if (log.open.rows > 0) blocks.push(packBlock(log.open));
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
  const bytes = given.byteOffset % 8 === 0 ? given : given.slice();
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes[0] !== VERSION) return bad(`found version ${bytes[0]}, expected ${VERSION}`);
  if (bytes[1] !== CHANNEL_IDS.length) return bad(`found ${bytes[1]} columns, expected ${CHANNEL_IDS.length}`);
  const firstRow = view.getUint32(4, true);
  const rows = view.getUint32(8, true);
  if (firstRow > columns.rows) return bad(`found first row ${firstRow}, expected at most ${columns.rows}`);
  if (firstRow + rows > MOST_ROWS) return bad(`found ${firstRow + rows} rows, expected at most ${MOST_ROWS}`);
  makeRoomFor(columns, firstRow + rows);
  columns.rows = firstRow;
  let at: number = HEAD_BYTES;
  let row = firstRow;
  while (at < bytes.length) {
    const end = unpackBlock(bytes, view, at, columns, row, firstRow + rows);
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

function unpackBlock(
  bytes: Uint8Array,
  view: DataView,
  at: number,
  columns: SampleColumns,
  row: number,
  most: number,
): number | null {
  if (at + BLOCK_HEAD_BYTES > bytes.length) return null;
  const rows = view.getUint32(at, true);
  if (rows === 0 || rows > BLOCK_ROWS || row + rows > most) return null;
  let next = unpackColumn(bytes, at + BLOCK_HEAD_BYTES, rows, columns.sourceMs, row);
  for (let c = 0; c < columns.channels.length && next !== null; c += 1) {
    const isAbsent = columns.channels[c] === columns.absent && isUnknownColumn(bytes, next);
    next = isAbsent ? next + COLUMN_HEADER_BYTES : unpackColumn(bytes, next, rows, ownColumn(columns, c), row);
  }
  return next;
}
