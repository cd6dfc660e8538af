/**
 * A column of a chunk as few bytes, bit for bit what it was. A reading comes as a decimal text and is turned into the inside
 * unit by `decimal × scale + offset`: where each value is such a decimal, its whole numbers are kept as differences of the
 * least width that holds them all; else the values themselves.
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

interface Decimals {
  readonly decimals: number;
  readonly unit: ColumnUnit;
  readonly whole: Float64Array;
}

export interface EncodedColumn {
  readonly header: Buffer;
  readonly body: Uint8Array;
}

/**
 * @param values rows of one channel
 * @param units units that the values may have come in, beside the inside one
 */
export function encodeColumn(values: Float64Array, units: readonly ColumnUnit[]): EncodedColumn {
  if (isConstant(values)) return pack(0, { decimals: 0, unit: INSIDE, first: values[0] ?? 0 }, new Uint8Array(0));
  let least: EncodedColumn | null = null;
  for (const unit of [INSIDE, ...units]) {
    const packed = asDecimals(values, unit);
    if (packed && packed.body.length < (least?.body.length ?? Infinity)) least = packed;
  }
  if (least) return least;
  return pack(
    8,
    { decimals: 0, unit: INSIDE, first: 0 },
    new Uint8Array(values.buffer, values.byteOffset, values.byteLength),
  );
}

/** With the fewest decimals that do: more of them only make larger numbers. Null when none do. */
function asDecimals(values: Float64Array, unit: ColumnUnit): EncodedColumn | null {
  for (let decimals = 0; decimals <= MOST_DECIMALS; decimals++) {
    const whole = wholeNumbers(values, unit, decimals);
    if (whole) return packDifferences({ decimals, unit, whole });
  }
  return null;
}

function isConstant(values: Float64Array): boolean {
  for (const value of values) if (!Object.is(value, values[0])) return false;
  return true;
}

/** NaN stays NaN; null when a value is no such decimal. */
function wholeNumbers(values: Float64Array, { scale, offset }: ColumnUnit, decimals: number): Float64Array | null {
  const factor = 10 ** decimals;
  const whole = new Float64Array(values.length);
  for (let i = 0; i < values.length; i++) {
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

function packDifferences({ decimals, unit, whole }: Decimals): EncodedColumn | null {
  const first = whole.find((number) => !Number.isNaN(number)) ?? 0;
  let most = 0;
  let last = first;
  for (const number of whole) {
    if (Number.isNaN(number)) continue;
    most = Math.max(most, Math.abs(number - last));
    last = number;
  }
  const width: Width | null = most < 0x80 ? 1 : most < 0x8000 ? 2 : most < 0x80000000 ? 4 : null;
  if (width === null) return null;
  const differences = new { 1: Int8Array, 2: Int16Array, 4: Int32Array }[width](whole.length);
  last = first;
  for (let i = 0; i < whole.length; i++) {
    const number = whole[i]!;
    if (Number.isNaN(number)) differences[i] = NAN_DIFFERENCE[width];
    else {
      differences[i] = number - last;
      last = number;
    }
  }
  return pack(width, { decimals, unit, first }, new Uint8Array(differences.buffer));
}

function pack(
  width: Width,
  { decimals, unit, first }: { decimals: number; unit: ColumnUnit; first: number },
  body: Uint8Array,
): EncodedColumn {
  const header = Buffer.alloc(COLUMN_HEADER_BYTES);
  header[0] = width;
  header[1] = decimals;
  header.writeDoubleLE(unit.scale, 8);
  header.writeDoubleLE(unit.offset, 16);
  header.writeDoubleLE(first, 24);
  return { header, body };
}

export const padded = (bytes: number): number => (bytes + 7) & ~7;

/** Bytes of the column that starts at `at`. */
export const columnBytes = (bytes: Buffer, at: number, rows: number): number =>
  COLUMN_HEADER_BYTES + padded(rows * bytes[at]!);

/**
 * Writes the rows of a column into `out` from `row` on.
 * @param bytes checked before, at a place in memory that is a multiple of 8
 */
export function decodeColumn(bytes: Buffer, at: number, rows: number, out: Float64Array, row: number): void {
  const body = at + COLUMN_HEADER_BYTES;
  const first = bytes.readDoubleLE(at + 24);
  const place = bytes.byteOffset + body;
  switch (bytes[at] as Width) {
    case 0:
      out.fill(first, row, row + rows);
      return;
    case 8:
      out.set(new Float64Array(bytes.buffer, place, rows), row);
      return;
    case 1:
      undo8(new Int8Array(bytes.buffer, place, rows), rows, first, form(bytes, at), out, row);
      return;
    case 2:
      undo16(new Int16Array(bytes.buffer, place, rows), rows, first, form(bytes, at), out, row);
      return;
    case 4:
      undo32(new Int32Array(bytes.buffer, place, rows), rows, first, form(bytes, at), out, row);
      return;
  }
}

interface Form {
  readonly factor: number;
  readonly scale: number;
  readonly offset: number;
}

const form = (bytes: Buffer, at: number): Form => ({
  factor: 10 ** bytes[at + 1]!,
  scale: bytes.readDoubleLE(at + 8),
  offset: bytes.readDoubleLE(at + 16),
});

// Three times the same loop: each sees one kind of array only, which the engine makes twice as fast.

function undo8(
  from: Int8Array,
  rows: number,
  first: number,
  { factor, scale, offset }: Form,
  out: Float64Array,
  row: number,
): void {
  let whole = first;
  for (let i = 0; i < rows; i++) {
    const difference = from[i]!;
    if (difference === NAN_DIFFERENCE[1]) out[row + i] = Number.NaN;
    else {
      whole += difference;
      out[row + i] = (whole / factor) * scale + offset;
    }
  }
}

function undo16(
  from: Int16Array,
  rows: number,
  first: number,
  { factor, scale, offset }: Form,
  out: Float64Array,
  row: number,
): void {
  let whole = first;
  for (let i = 0; i < rows; i++) {
    const difference = from[i]!;
    if (difference === NAN_DIFFERENCE[2]) out[row + i] = Number.NaN;
    else {
      whole += difference;
      out[row + i] = (whole / factor) * scale + offset;
    }
  }
}

function undo32(
  from: Int32Array,
  rows: number,
  first: number,
  { factor, scale, offset }: Form,
  out: Float64Array,
  row: number,
): void {
  let whole = first;
  for (let i = 0; i < rows; i++) {
    const difference = from[i]!;
    if (difference === NAN_DIFFERENCE[4]) out[row + i] = Number.NaN;
    else {
      whole += difference;
      out[row + i] = (whole / factor) * scale + offset;
    }
  }
}
