/**
 * One record of the raw log, little endian:
 *
 *     0  mark 'JWr1'      4  header CRC     8  body CRC     12  number f64     20  arrival f64 ms since 1970
 *    28  kind u8, 3 zero  32  length u32    36  payload      36 + length  SHA-256 of the chain
 *
 * The header CRC covers bytes 12 to 36 together with the run's key, the segment and the place in it, so that a copy of a
 * record elsewhere (another run, bytes that a source sent) is no record. The body CRC goes on from it over payload and hash.
 * The chain: SHA-256 over the hash before, bytes 12 to 36 and the payload.
 */
import { createHash } from 'node:crypto';
import { crc32 } from 'node:zlib';
import { invariant } from '../../src/fault.ts';

/** The place in the list is what is stored: add at the end only. */
export const RECORD_KINDS = ['bytes', 'link', 'mark', 'journal', 'plan'] as const;
export type RecordKind = (typeof RECORD_KINDS)[number];

export const HASH_BYTES = 32;
export const KEY_BYTES = 16;
export const HEADER_BYTES = 36;
/** What a record takes beside its payload. */
export const RECORD_OVERHEAD = HEADER_BYTES + HASH_BYTES;
/** A changed plan in a line of the journal may have 5 MiB; a read of a socket 64 KiB. */
export const MOST_PAYLOAD = 8 * 1024 * 1024;

const MARK = 0x3172574a;
const MARK_BYTES = Buffer.from([0x4a, 0x57, 0x72, 0x31]);
const CHECKED_FROM = 12;

export interface RawRecord {
  /** Running number within the run, from 1. */
  readonly number: number;
  /** ms since 1970 UTC by our clock; may step back with it. */
  readonly arrivalMs: number;
  readonly kind: RecordKind;
  readonly bytes: Uint8Array;
}

/** A record where it lies. */
export interface PlacedRecord extends RawRecord {
  readonly segment: number;
  /** Place of its first byte in the segment, and of the first byte behind it. */
  readonly at: number;
  readonly end: number;
  /** As stored. */
  readonly hash: Uint8Array;
}

/** What the header's CRC starts from, for a segment of a run. */
export function segmentSeed(key: Uint8Array, segment: number): number {
  const number = Buffer.alloc(4);
  number.writeUInt32LE(segment);
  return crc32(number, crc32(key));
}

const place = Buffer.alloc(4);
function headerCrc(bytes: Uint8Array, at: number, seed: number, placeInSegment: number): number {
  place.writeUInt32LE(placeInSegment);
  return crc32(bytes.subarray(at + CHECKED_FROM, at + HEADER_BYTES), crc32(place, seed));
}

/** @param checked bytes 12 to 36 of the record with its payload behind */
export function chainHash(before: Uint8Array, checked: Uint8Array): Buffer {
  return createHash('sha256').update(before).update(checked).digest();
}

/** Bytes that the chain covers, of a record that starts at `at`. */
export const chained = (bytes: Uint8Array, at: number, length: number): Uint8Array =>
  bytes.subarray(at + CHECKED_FROM, at + HEADER_BYTES + length);

/**
 * Writes a record into `out` at `at`; answers its hash in the chain.
 * @param placeInSegment where the record will lie in its segment, bytes
 * @param before hash of the record before
 */
export function encodeRecord(
  out: Buffer,
  at: number,
  record: RawRecord,
  seed: number,
  placeInSegment: number,
  before: Uint8Array,
): Uint8Array {
  const { bytes } = record;
  invariant(bytes.length <= MOST_PAYLOAD, 'a record fits its limit');
  out.writeUInt32LE(MARK, at);
  out.writeDoubleLE(record.number, at + 12);
  out.writeDoubleLE(record.arrivalMs, at + 20);
  out.writeUInt32LE(RECORD_KINDS.indexOf(record.kind), at + 28);
  out.writeUInt32LE(bytes.length, at + 32);
  out.set(bytes, at + HEADER_BYTES);
  const hash = chainHash(before, chained(out, at, bytes.length));
  out.set(hash, at + HEADER_BYTES + bytes.length);
  const crc = headerCrc(out, at, seed, placeInSegment);
  out.writeUInt32LE(crc, at + 4);
  out.writeUInt32LE(crc32(out.subarray(at + HEADER_BYTES, at + RECORD_OVERHEAD + bytes.length), crc), at + 8);
  return hash;
}

/** What is wrong with the bytes at a place, and how far the place goes if that can be told. */
export interface WrongRecord {
  readonly what: 'no record' | 'header' | 'cut short' | 'body';
  /** Of a record whose header holds. */
  readonly number: number | null;
  /** The next place to look at. */
  readonly next: number;
}

/**
 * Reads the record at `at`.
 * @param bytes the segment from `base` on; `at` is a place in the segment
 */
export function decodeRecord(
  bytes: Buffer,
  base: number,
  segment: number,
  at: number,
  seed: number,
): PlacedRecord | WrongRecord {
  const i = at - base;
  const left = bytes.length - i;
  if (left < 4 || bytes.readUInt32LE(i) !== MARK) {
    // The first bytes of a mark, and then the end: a record that was being written.
    const begun = left < 4 && MARK_BYTES.subarray(0, left).equals(bytes.subarray(i));
    return { what: begun ? 'cut short' : 'no record', number: null, next: nextMark(bytes, base, at) };
  }
  if (left < HEADER_BYTES) return { what: 'cut short', number: null, next: nextMark(bytes, base, at) };
  const crc = bytes.readUInt32LE(i + 4);
  const kind = RECORD_KINDS[bytes.readUInt32LE(i + 28)];
  const length = bytes.readUInt32LE(i + 32);
  if (crc !== headerCrc(bytes, i, seed, at) || kind === undefined || length > MOST_PAYLOAD) {
    return { what: 'header', number: null, next: nextMark(bytes, base, at) };
  }
  const number = bytes.readDoubleLE(i + 12);
  const total = RECORD_OVERHEAD + length;
  if (left < total) return { what: 'cut short', number, next: nextMark(bytes, base, at) };
  if (bytes.readUInt32LE(i + 8) !== crc32(bytes.subarray(i + HEADER_BYTES, i + total), crc)) {
    return { what: 'body', number, next: at + total };
  }
  return {
    number,
    arrivalMs: bytes.readDoubleLE(i + 20),
    kind,
    bytes: bytes.subarray(i + HEADER_BYTES, i + HEADER_BYTES + length),
    segment,
    at,
    end: at + total,
    hash: bytes.subarray(i + HEADER_BYTES + length, i + total),
  };
}

/** Place of the next mark behind `at`, or the end. */
function nextMark(bytes: Buffer, base: number, at: number): number {
  const found = bytes.indexOf(MARK_BYTES, at - base + 1);
  return found < 0 ? base + bytes.length : base + found;
}
