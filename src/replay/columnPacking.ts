/**
 * A column of a block as few bytes, bit for bit what it was. A reading comes as a decimal text and is turned into the
 * inside unit by `decimal × scale + offset`: where each value is such a decimal, its whole numbers are kept as differences
 * of the least width that holds them all; else the values themselves.
 *
 * A column, little endian, its length a multiple of 8:
 *     0  width u8: 0 constant, 1, 2, 4 bytes a difference, 8 values   1  decimals u8   2  zero   8  scale f64
 *    16  offset f64   24  first whole number, or the constant, f64    32  rows × width
 * The least difference of a width says NaN.
 */

export interface ColumnUnit {
  readonly scale: number;
  readonly offset: number;
}

type Width = 0 | 1 | 2 | 4 | 8;
const WIDTHS: readonly number[] = [0, 1, 2, 4, 8];

export const COLUMN_HEADER_BYTES = 32;
const MOST_DECIMALS = 4;
const FACTORS: readonly number[] = Array.from({ length: MOST_DECIMALS + 1 }, (_, decimals) => 10 ** decimals);
/** Sums that stay below are added as whole numbers of the machine, which take a third of the time. */
const SMALL = 2 ** 30;
const INSIDE: ColumnUnit = { scale: 1, offset: 0 };
const NAN_DIFFERENCE = { 1: -0x80, 2: -0x8000, 4: -0x80000000 } as const;
const DIFFERENCES = { 1: Int8Array, 2: Int16Array, 4: Int32Array } as const;

interface Decimals {
  readonly unit: ColumnUnit;
  readonly decimals: number;
  readonly first: number;
  readonly width: 1 | 2 | 4;
}

const padded = (bytes: number): number => (bytes + 7) & ~7;

/** The most bytes that a column of so many rows takes. */
export const mostColumnBytes = (rows: number): number => COLUMN_HEADER_BYTES + rows * 8;

/** The whole numbers of the column that is being packed; made anew for a longer one, so that packing leaves nothing behind. */
let whole = new Float64Array(0);

/** @param units units that the values may have come in, beside the inside one */
export function packColumn(values: Float64Array, units: readonly ColumnUnit[]): Uint8Array {
  const bytes = new Uint8Array(mostColumnBytes(values.length));
  return bytes.slice(0, packColumnInto(values, units, bytes, 0));
}

/**
 * Writes a column to `at`, a multiple of 8 in memory too; `out` has room for `mostColumnBytes`.
 * @returns where the next one begins
 */
export function packColumnInto(
  values: Float64Array,
  units: readonly ColumnUnit[],
  out: Uint8Array<ArrayBuffer>,
  at: number,
): number {
  if (isConstant(values)) return writeHead(out, at, 0, 0, INSIDE, values[0] ?? 0);
  const form = fewestBytes(values, units);
  if (!form) {
    const body = writeHead(out, at, 8, 0, INSIDE, 0);
    out.set(new Uint8Array(values.buffer, values.byteOffset, values.byteLength), body);
    return body + values.byteLength;
  }
  const { width, decimals, unit, first } = form;
  takeWholeNumbers(values, unit, decimals);
  const body = writeHead(out, at, width, decimals, unit, first);
  const end = body + padded(values.length * width);
  out.fill(0, body, end);
  writeDifferences(new DIFFERENCES[width](out.buffer, out.byteOffset + body, values.length), width, first);
  return end;
}

function writeHead(
  out: Uint8Array<ArrayBuffer>,
  at: number,
  width: Width,
  decimals: number,
  { scale, offset }: ColumnUnit,
  first: number,
): number {
  const view = new DataView(out.buffer, out.byteOffset + at, COLUMN_HEADER_BYTES);
  view.setFloat64(0, 0, true);
  view.setUint8(0, width);
  view.setUint8(1, decimals);
  view.setFloat64(8, scale, true);
  view.setFloat64(16, offset, true);
  view.setFloat64(24, first, true);
  return at + COLUMN_HEADER_BYTES;
}

function isConstant(values: Float64Array): boolean {
  for (const value of values) if (!Object.is(value, values[0])) return false;
  return true;
}

/** In the unit that takes the fewest bytes, with the fewest decimals that do; null when none do. */
function fewestBytes(values: Float64Array, units: readonly ColumnUnit[]): Decimals | null {
  let least: Decimals | null = null;
  for (const unit of [INSIDE, ...units]) {
    for (let decimals = 0; decimals <= MOST_DECIMALS; decimals += 1) {
      if (!takeWholeNumbers(values, unit, decimals)) continue;
      const first = firstWhole(values.length);
      const width = widthBehind(first, values.length);
      if (width !== null && width < (least?.width ?? Infinity)) least = { unit, decimals, first, width };
      break;
    }
  }
  return least;
}

/** Into `whole`; NaN stays NaN. False when a value is no such decimal. */
function takeWholeNumbers(values: Float64Array, { scale, offset }: ColumnUnit, decimals: number): boolean {
  if (whole.length < values.length) whole = new Float64Array(values.length);
  const factor = 10 ** decimals;
  for (let i = 0; i < values.length; i += 1) {
    const value = values[i]!;
    if (Number.isNaN(value)) {
      whole[i] = Number.NaN;
      continue;
    }
    const number = Math.round(((value - offset) / scale) * factor);
    if (!Number.isSafeInteger(number) || !Object.is((number / factor) * scale + offset, value)) return false;
    whole[i] = number;
  }
  return true;
}

function firstWhole(rows: number): number {
  for (let i = 0; i < rows; i += 1) if (!Number.isNaN(whole[i]!)) return whole[i]!;
  return 0;
}

function widthBehind(first: number, rows: number): Decimals['width'] | null {
  let most = 0;
  let last = first;
  for (let i = 0; i < rows; i += 1) {
    const number = whole[i]!;
    if (Number.isNaN(number)) continue;
    most = Math.max(most, Math.abs(number - last));
    last = number;
  }
  return most < 0x80 ? 1 : most < 0x8000 ? 2 : most < 0x80000000 ? 4 : null;
}

function writeDifferences(out: Int8Array | Int16Array | Int32Array, width: Decimals['width'], first: number): void {
  let last = first;
  for (let i = 0; i < out.length; i += 1) {
    const number = whole[i]!;
    if (Number.isNaN(number)) out[i] = NAN_DIFFERENCE[width];
    else {
      out[i] = number - last;
      last = number;
    }
  }
}

/** Bytes that hold columns, seen in every width at once: a view made for each column would cost more than its rows. */
export interface ColumnBytes {
  readonly view: DataView;
  readonly bytes: Int8Array;
  readonly halves: Int16Array;
  readonly wholes: Int32Array;
  readonly values: Float64Array;
}

/** Copies bytes that do not lie at a place in memory that is a multiple of 8. */
export function columnBytes(given: Uint8Array): ColumnBytes {
  const { buffer, byteOffset, byteLength } = given.byteOffset % 8 === 0 ? given : given.slice();
  return {
    view: new DataView(buffer, byteOffset, byteLength),
    bytes: new Int8Array(buffer, byteOffset, byteLength),
    halves: new Int16Array(buffer, byteOffset, byteLength >> 1),
    wholes: new Int32Array(buffer, byteOffset, byteLength >> 2),
    values: new Float64Array(buffer, byteOffset, byteLength >> 3),
  };
}

/** The column that begins at `at` says NaN throughout. */
export function isUnknownColumn({ view }: ColumnBytes, at: number): boolean {
  if (at + COLUMN_HEADER_BYTES > view.byteLength || view.getUint16(at, true) !== 0) return false;
  return Number.isNaN(view.getFloat64(at + 24, true));
}

/**
 * Writes the rows of the column that begins at `at` into `out` from `row` on.
 * @param at a multiple of 8
 * @returns where the next column begins; null when the bytes cannot be meant
 */
export function unpackColumn(
  from: ColumnBytes,
  at: number,
  rows: number,
  out: Float64Array,
  row: number,
): number | null {
  const { view } = from;
  if (at + COLUMN_HEADER_BYTES > view.byteLength) return null;
  const width = view.getUint8(at);
  const decimals = view.getUint8(at + 1);
  if (!WIDTHS.includes(width) || decimals > MOST_DECIMALS) return null;
  const body = at + COLUMN_HEADER_BYTES;
  const end = body + padded(rows * width);
  if (end > view.byteLength) return null;
  const first = view.getFloat64(at + 24, true);
  const factor = FACTORS[decimals]!;
  const scale = view.getFloat64(at + 8, true);
  const offset = view.getFloat64(at + 16, true);
  const small = Number.isInteger(first) && Math.abs(first) < SMALL && rows < SMALL / -NAN_DIFFERENCE[2];
  if (width === 0) out.fill(first, row, row + rows);
  else if (width === 8) out.set(from.values.subarray(body >> 3, (body >> 3) + rows), row);
  else if (small && width === 1) small8(from.bytes, body, rows, first, factor, scale, offset, out, row);
  else if (small && width === 2) small16(from.halves, body >> 1, rows, first, factor, scale, offset, out, row);
  else {
    const differences = width === 1 ? from.bytes : width === 2 ? from.halves : from.wholes;
    const none = NAN_DIFFERENCE[width as 1 | 2 | 4];
    sumUp(differences, none, body / width, rows, first, factor, scale, offset, out, row);
  }
  return end;
}

// From differences to readings: as they were packed, so that not one bit is another. NaN stays NaN. The same loop three
// times: one that sees one kind of array, and whole numbers of the machine, is three times as fast.

function small8(
  from: Int8Array,
  at: number,
  rows: number,
  first: number,
  factor: number,
  scale: number,
  offset: number,
  out: Float64Array,
  row: number,
): void {
  let sum = first | 0;
  for (let i = 0; i < rows; i += 1) {
    const difference = from[at + i]!;
    if (difference === NAN_DIFFERENCE[1]) out[row + i] = Number.NaN;
    else {
      sum = (sum + difference) | 0;
      out[row + i] = (sum / factor) * scale + offset;
    }
  }
}

function small16(
  from: Int16Array,
  at: number,
  rows: number,
  first: number,
  factor: number,
  scale: number,
  offset: number,
  out: Float64Array,
  row: number,
): void {
  let sum = first | 0;
  for (let i = 0; i < rows; i += 1) {
    const difference = from[at + i]!;
    if (difference === NAN_DIFFERENCE[2]) out[row + i] = Number.NaN;
    else {
      sum = (sum + difference) | 0;
      out[row + i] = (sum / factor) * scale + offset;
    }
  }
}

function sumUp(
  from: Int8Array | Int16Array | Int32Array,
  none: number,
  at: number,
  rows: number,
  first: number,
  factor: number,
  scale: number,
  offset: number,
  out: Float64Array,
  row: number,
): void {
  let sum = first;
  for (let i = 0; i < rows; i += 1) {
    const difference = from[at + i]!;
    if (difference === none) out[row + i] = Number.NaN;
    else {
      sum += difference;
      out[row + i] = (sum / factor) * scale + offset;
    }
  }
}
