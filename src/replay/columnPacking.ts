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

export const COLUMN_HEADER_BYTES = 32;
const MOST_DECIMALS = 4;
const INSIDE: ColumnUnit = { scale: 1, offset: 0 };
const NAN_DIFFERENCE = { 1: -0x80, 2: -0x8000, 4: -0x80000000 } as const;
const DIFFERENCES = { 1: Int8Array, 2: Int16Array, 4: Int32Array } as const;

interface Packed {
  readonly width: Width;
  readonly decimals: number;
  readonly unit: ColumnUnit;
  readonly first: number;
  readonly body: Uint8Array;
}

const padded = (bytes: number): number => (bytes + 7) & ~7;

/** @param units units that the values may have come in, beside the inside one */
export function packColumn(values: Float64Array, units: readonly ColumnUnit[]): Uint8Array {
  const packed = isConstant(values)
    ? { width: 0 as const, decimals: 0, unit: INSIDE, first: values[0] ?? 0, body: new Uint8Array(0) }
    : (asDecimals(values, units) ?? asTheyAre(values));
  const bytes = new Uint8Array(COLUMN_HEADER_BYTES + padded(packed.body.length));
  const view = new DataView(bytes.buffer);
  bytes[0] = packed.width;
  bytes[1] = packed.decimals;
  view.setFloat64(8, packed.unit.scale, true);
  view.setFloat64(16, packed.unit.offset, true);
  view.setFloat64(24, packed.first, true);
  bytes.set(packed.body, COLUMN_HEADER_BYTES);
  return bytes;
}

function isConstant(values: Float64Array): boolean {
  for (const value of values) if (!Object.is(value, values[0])) return false;
  return true;
}

const asTheyAre = (values: Float64Array): Packed => ({
  width: 8,
  decimals: 0,
  unit: INSIDE,
  first: 0,
  body: new Uint8Array(values.buffer, values.byteOffset, values.byteLength),
});

/** In the unit that takes the fewest bytes, with the fewest decimals that do; null when none do. */
function asDecimals(values: Float64Array, units: readonly ColumnUnit[]): Packed | null {
  let least: Packed | null = null;
  for (const unit of [INSIDE, ...units]) {
    for (let decimals = 0; decimals <= MOST_DECIMALS; decimals += 1) {
      const whole = wholeNumbers(values, unit, decimals);
      if (!whole) continue;
      const packed = asDifferences(whole, decimals, unit);
      if (packed && packed.body.length < (least?.body.length ?? Infinity)) least = packed;
      break;
    }
  }
  return least;
}

/** NaN stays NaN; null when a value is no such decimal. */
function wholeNumbers(values: Float64Array, { scale, offset }: ColumnUnit, decimals: number): Float64Array | null {
  const factor = 10 ** decimals;
  const whole = new Float64Array(values.length);
  for (let i = 0; i < values.length; i += 1) {
    const value = values[i]!;
    if (Number.isNaN(value)) {
      whole[i] = Number.NaN;
      continue;
    }
    const number = Math.round(((value - offset) / scale) * factor);
    if (!Number.isSafeInteger(number) || !Object.is((number / factor) * scale + offset, value)) return null;
    whole[i] = number;
  }
  return whole;
}

function asDifferences(whole: Float64Array, decimals: number, unit: ColumnUnit): Packed | null {
  const first = whole.find((number) => !Number.isNaN(number)) ?? 0;
  let most = 0;
  let last = first;
  for (const number of whole) {
    if (Number.isNaN(number)) continue;
    most = Math.max(most, Math.abs(number - last));
    last = number;
  }
  const width = most < 0x80 ? 1 : most < 0x8000 ? 2 : most < 0x80000000 ? 4 : null;
  if (width === null) return null;
  const differences = new DIFFERENCES[width](whole.length);
  last = first;
  for (let i = 0; i < whole.length; i += 1) {
    const number = whole[i]!;
    if (Number.isNaN(number)) differences[i] = NAN_DIFFERENCE[width];
    else {
      differences[i] = number - last;
      last = number;
    }
  }
  return { width, decimals, unit, first, body: new Uint8Array(differences.buffer) };
}

/** The column that begins at `at` says NaN throughout. */
export function isUnknownColumn(bytes: Uint8Array, at: number): boolean {
  if (at + COLUMN_HEADER_BYTES > bytes.length || bytes[at] !== 0 || bytes[at + 1] !== 0) return false;
  return Number.isNaN(new DataView(bytes.buffer, bytes.byteOffset + at, COLUMN_HEADER_BYTES).getFloat64(24, true));
}

/**
 * Writes the rows of the column that begins at `at` into `out` from `row` on.
 * @param bytes at a place in memory that is a multiple of 8
 * @returns where the next column begins; null when the bytes cannot be meant
 */
export function unpackColumn(
  bytes: Uint8Array,
  at: number,
  rows: number,
  out: Float64Array,
  row: number,
): number | null {
  if (at + COLUMN_HEADER_BYTES > bytes.length) return null;
  const width = bytes[at]!;
  const decimals = bytes[at + 1]!;
  if (![0, 1, 2, 4, 8].includes(width) || decimals > MOST_DECIMALS) return null;
  const end = at + COLUMN_HEADER_BYTES + padded(rows * width);
  if (end > bytes.length) return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset + at, COLUMN_HEADER_BYTES);
  const first = view.getFloat64(24, true);
  const form = { factor: 10 ** decimals, scale: view.getFloat64(8, true), offset: view.getFloat64(16, true) };
  const place = bytes.byteOffset + at + COLUMN_HEADER_BYTES;
  if (width === 0) out.fill(first, row, row + rows);
  else if (width === 8) out.set(new Float64Array(bytes.buffer, place, rows), row);
  else {
    if (width === 1) sum8(new Int8Array(bytes.buffer, place, rows), first, out, row);
    else if (width === 2) sum16(new Int16Array(bytes.buffer, place, rows), first, out, row);
    else sum32(new Int32Array(bytes.buffer, place, rows), first, out, row);
    intoInside(form, out, row, row + rows);
  }
  return end;
}

interface Form {
  readonly factor: number;
  readonly scale: number;
  readonly offset: number;
}

/** From whole numbers to readings: as they were packed, so that not one bit is another. NaN stays NaN. */
function intoInside({ factor, scale, offset }: Form, out: Float64Array, from: number, to: number): void {
  if (scale !== 1 || offset !== 0) for (let i = from; i < to; i += 1) out[i] = (out[i]! / factor) * scale + offset;
  else if (factor !== 1) for (let i = from; i < to; i += 1) out[i] = out[i]! / factor;
}

// Three times the same loop: each sees one kind of array only, which the engine makes twice as fast.

function sum8(from: Int8Array, first: number, out: Float64Array, row: number): void {
  let whole = first;
  for (let i = 0; i < from.length; i += 1) {
    const difference = from[i]!;
    if (difference === NAN_DIFFERENCE[1]) out[row + i] = Number.NaN;
    else {
      whole += difference;
      out[row + i] = whole;
    }
  }
}

function sum16(from: Int16Array, first: number, out: Float64Array, row: number): void {
  let whole = first;
  for (let i = 0; i < from.length; i += 1) {
    const difference = from[i]!;
    if (difference === NAN_DIFFERENCE[2]) out[row + i] = Number.NaN;
    else {
      whole += difference;
      out[row + i] = whole;
    }
  }
}

function sum32(from: Int32Array, first: number, out: Float64Array, row: number): void {
  let whole = first;
  for (let i = 0; i < from.length; i += 1) {
    const difference = from[i]!;
    if (difference === NAN_DIFFERENCE[4]) out[row + i] = Number.NaN;
    else {
      whole += difference;
      out[row + i] = whole;
    }
  }
}
