/**
 * Reads the raw log with every check. What does not hold is named and skipped, never handed out: the reading goes on at
 * the next record whose checksums hold, and what lies between is a hole with its numbers and its time.
 */
import { type Disk, DiskError, readWhole } from './disk.ts';
import { readHead } from './logHead.ts';
import { chained, chainHash, decodeRecord, MOST_PAYLOAD, type PlacedRecord, segmentSeed } from './rawRecord.ts';
import {
  decodeSegmentHeader,
  SEGMENT_BYTES,
  SEGMENT_HEADER_BYTES,
  type SegmentHeader,
  segmentName,
  segmentNumbers,
} from './segment.ts';

/** The longest a segment can be: one record may begin just below its limit. */
export const MOST_SEGMENT_BYTES = SEGMENT_BYTES + 2 * MOST_PAYLOAD;

export type DamageKind =
  /** Bytes that are no whole record. */
  | 'bytes'
  /** Bytes at the end of the log that are no whole record. */
  | 'tail'
  /** The head of a segment. */
  | 'segment header'
  /** A segment that is not there or cannot be read. */
  | 'segment'
  /** A whole record that does not follow from the one before: changed or moved after it was written. */
  | 'chain'
  /** A whole record with a number that has been. */
  | 'number'
  /** Records that are not there, with nothing in their place. */
  | 'missing';

export interface Damage {
  readonly kind: DamageKind;
  readonly segment: number;
  /** Place in the segment and length, bytes. */
  readonly at: number;
  readonly bytes: number;
  /** One line: where, and what is wrong. */
  readonly line: string;
  /** Last whole record before and first behind; null where there is none. Between them lies the hole. */
  afterNumber: number | null;
  beforeNumber: number | null;
  fromMs: number | null;
  toMs: number | null;
}

export type LogItem =
  | { readonly kind: 'record'; readonly record: PlacedRecord }
  | { readonly kind: 'damage'; readonly damage: Damage };

export interface ReadFrom {
  readonly segment: number;
  /** Place of a record in it. */
  readonly at: number;
}

export interface ReadOptions {
  /** Where to begin; the start of the log when left out. */
  readonly from?: ReadFrom;
  /** The last record to read: of a log that is being written, its head. */
  readonly through?: number;
  /** False: checksums alone. */
  readonly chain?: boolean;
  /** For a log whose own segment headers are all damaged. */
  readonly key?: Uint8Array;
}

interface Reading {
  readonly options: ReadOptions;
  key: Uint8Array | null;
  last: PlacedRecord | null;
  /** Number and hash that the next record must follow from; null when nothing is known. */
  number: number | null;
  hash: Uint8Array | null;
  pending: Damage[];
}

/**
 * Records in order, damages among them in front of the record that follows them. `bytes` of a record are a view of the
 * segment in memory.
 * @throws DiskError of the folder
 */
export function* readLog(disk: Disk, folder: string, options: ReadOptions = {}): Generator<LogItem> {
  const numbers = segmentNumbers(disk.list(folder)).filter((number) => number >= (options.from?.segment ?? 0));
  const key = logKey(disk, folder) ?? options.key ?? readHead(disk, folder).head?.key ?? null;
  const reading: Reading = { options, key, last: null, number: null, hash: null, pending: [] };
  let expected = options.from?.segment ?? 1;
  for (const [i, number] of numbers.entries()) {
    if (number !== expected) {
      const line = `${segmentName(expected)}: found nothing, expected a segment`;
      reading.pending.push(damageAt(reading, 'segment', expected, 0, 0, line));
      reading.hash = null;
    }
    expected = number + 1;
    const isLast = i === numbers.length - 1;
    if (yield* readSegment(disk, folder, number, isLast, reading)) break;
  }
  for (const damage of reading.pending) yield { kind: 'damage', damage };
}

/** The key of the run from the first segment header that is whole, or null. */
export function logKey(disk: Disk, folder: string): Uint8Array | null {
  for (const number of segmentNumbers(disk.list(folder))) {
    const header = readSegmentHeader(disk, folder, number);
    if (header) return header.key;
  }
  return null;
}

/** Null when it cannot be read or is not whole. */
export function readSegmentHeader(disk: Disk, folder: string, number: number): SegmentHeader | null {
  try {
    const file = disk.open(`${folder}/${segmentName(number)}`, 'read');
    try {
      const bytes = Buffer.alloc(SEGMENT_HEADER_BYTES);
      return decodeSegmentHeader(bytes.subarray(0, file.read(bytes, 0)), number);
    } finally {
      file.close();
    }
  } catch (error) {
    if (error instanceof DiskError) return null;
    throw error;
  }
}

function damageAt(
  { last, number }: Reading,
  kind: DamageKind,
  segment: number,
  at: number,
  bytes: number,
  line: string,
): Damage {
  const afterNumber = last?.number ?? number;
  const fromMs = last?.arrivalMs ?? null;
  return { kind, segment, at, bytes, line, afterNumber, beforeNumber: null, fromMs, toMs: null };
}

/** Answers true when the reading is over. */
function* readSegment(
  disk: Disk,
  folder: string,
  number: number,
  isLast: boolean,
  reading: Reading,
): Generator<LogItem, boolean> {
  const bytes = segmentBytes(disk, folder, number, reading);
  if (bytes === null) return false;
  const { from } = reading.options;
  const header = decodeSegmentHeader(bytes, number);
  if (from?.segment !== number) startSegment(reading, number, header, bytes.length);
  const key = header?.key ?? reading.key;
  if (key === null) return false;
  const seed = segmentSeed(key, number);
  let at = from?.segment === number ? from.at : Math.min(SEGMENT_HEADER_BYTES, bytes.length);
  let wrong: { at: number; what: string; number: number | null } | null = null;
  while (at < bytes.length) {
    const found = decodeRecord(bytes, 0, number, at, seed);
    if ('hash' in found) {
      if (wrong) reading.pending.push(bytesDamage(reading, number, wrong, at, 'bytes'));
      wrong = null;
      yield* hand(reading, found, bytes);
      if (found.number >= (reading.options.through ?? Infinity)) return true;
      at = found.end;
    } else {
      if (wrong === null && usedBytes(bytes) <= at) break;
      wrong ??= { at, what: found.what, number: found.number };
      at = found.next;
      if (found.what === 'body') {
        // Its header holds, so its end is known: what follows is looked at on its own.
        reading.pending.push(bytesDamage(reading, number, wrong, at, 'bytes'));
        wrong = null;
      }
    }
  }
  if (wrong) reading.pending.push(bytesDamage(reading, number, wrong, usedBytes(bytes), isLast ? 'tail' : 'bytes'));
  return false;
}

/** Without the zeros at the end: room that was made for records to come. */
function usedBytes(bytes: Buffer): number {
  let used = bytes.length;
  while (used > 0 && bytes[used - 1] === 0) used--;
  return used;
}

function segmentBytes(disk: Disk, folder: string, number: number, reading: Reading): Buffer | null {
  try {
    const whole = readWhole(disk, `${folder}/${segmentName(number)}`, MOST_SEGMENT_BYTES);
    return Buffer.from(whole.buffer, whole.byteOffset, whole.length);
  } catch (error) {
    if (!(error instanceof DiskError)) throw error;
    reading.pending.push(damageAt(reading, 'segment', number, 0, 0, error.message));
    reading.hash = null;
    return null;
  }
}

function startSegment(reading: Reading, number: number, header: SegmentHeader | null, size: number): void {
  const wrong = (what: string) => {
    const line = `${segmentName(number)}, bytes 0 to ${Math.min(size, SEGMENT_HEADER_BYTES)}: ${what}`;
    reading.pending.push(damageAt(reading, 'segment header', number, 0, SEGMENT_HEADER_BYTES, line));
  };
  if (header === null) {
    wrong('found no whole segment header');
    return;
  }
  if (reading.hash === null) {
    reading.hash = header.before;
    reading.number ??= header.firstNumber - 1;
  } else if (reading.last && header.firstNumber > reading.last.number + 1) {
    // Known at the time: a tail that was lost. The chain goes on from the record that was lost last.
    const line = `${segmentName(number)}: begins with record ${header.firstNumber}, expected ${reading.last.number + 1}`;
    reading.pending.push(damageAt(reading, 'missing', number, 0, 0, line));
    reading.hash = header.before;
    reading.number = header.firstNumber - 1;
  } else if (!same(reading.hash, header.before)) {
    wrong('does not follow from the segment before: the chain breaks here');
    reading.hash = header.before;
  }
}

const same = (a: Uint8Array, b: Uint8Array): boolean => Buffer.compare(a, b) === 0;

function bytesDamage(
  reading: Reading,
  segment: number,
  wrong: { at: number; what: string; number: number | null },
  end: number,
  kind: 'bytes' | 'tail',
): Damage {
  const record = wrong.number === null ? '' : ` of record ${wrong.number}`;
  const found =
    wrong.what === 'body'
      ? `the checksum${record} does not hold`
      : wrong.what === 'cut short'
        ? `a record${wrong.number === null ? '' : ` (${wrong.number})`} that is cut short`
        : wrong.what === 'header'
          ? 'a record whose header does not hold'
          : 'no record';
  const line = `${segmentName(segment)}, bytes ${wrong.at} to ${end}: found ${found}`;
  // What follows cannot be held against a hash that is not known.
  reading.hash = null;
  return damageAt(reading, kind, segment, wrong.at, end - wrong.at, line);
}

/** Hands out a whole record if it also follows from the one before. */
function* hand(reading: Reading, record: PlacedRecord, bytes: Buffer): Generator<LogItem> {
  const wrong = against(reading, record, bytes);
  if (wrong) {
    const where = `${segmentName(record.segment)}, bytes ${record.at} to ${record.end}: record ${record.number} ${wrong.what}`;
    const length = wrong.kind === 'missing' ? 0 : record.end - record.at;
    reading.pending.push(damageAt(reading, wrong.kind, record.segment, record.at, length, where));
  }
  if (wrong && wrong.kind !== 'missing') {
    if (wrong.kind === 'chain') {
      reading.number = record.number;
      reading.hash = record.hash;
    }
    return;
  }
  for (const damage of reading.pending) {
    damage.beforeNumber = record.number;
    damage.toMs = record.arrivalMs;
    yield { kind: 'damage', damage };
  }
  reading.pending.length = 0;
  reading.last = record;
  reading.number = record.number;
  reading.hash = record.hash;
  yield { kind: 'record', record };
}

interface Wrong {
  readonly kind: 'chain' | 'number' | 'missing';
  readonly what: string;
}

function against(reading: Reading, record: PlacedRecord, bytes: Buffer): Wrong | null {
  const { number, last, options, pending } = reading;
  // Over bytes that are no record the chain still holds when no number is missing.
  const hash = reading.hash ?? (last && record.number === last.number + 1 ? last.hash : null);
  if (number !== null && record.number <= number) return { kind: 'number', what: `comes after record ${number}` };
  if (number !== null && record.number > number + 1) {
    if (hash === null || pending.length > 0) return null;
    return { kind: 'missing', what: `comes straight after record ${number}` };
  }
  if (hash === null || options.chain === false) return null;
  const followed = chainHash(hash, chained(bytes, record.at, record.bytes.length));
  return same(followed, record.hash) ? null : { kind: 'chain', what: 'was changed after it was written' };
}
