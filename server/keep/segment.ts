/**
 * A segment: one file of the raw log. Its header, 96 bytes little endian:
 *
 *     0  'JWLOG/1\n'   8  segment u32   12  zero   16  number of its first record f64   24  made at f64 ms since 1970
 *    32  key of the run, 16 bytes       48  hash of the chain before it, 32 bytes       80  zero     92  CRC of bytes 0 to 92
 */
import { crc32 } from 'node:zlib';
import { HASH_BYTES, KEY_BYTES } from './rawRecord.ts';

export const SEGMENT_HEADER_BYTES = 96;
/** A segment that is this long is followed by the next. With one record behind it, it still fits into memory. */
export const SEGMENT_BYTES = 16 * 1024 * 1024;
/** Segments of a run: 72 h at 1 Hz are about six. */
export const MOST_SEGMENTS = 99_999;

const MAGIC = Buffer.from('JWLOG/1\n');
const NAME = /^raw-(\d{5})\.log$/;

export interface SegmentHeader {
  readonly segment: number;
  readonly firstNumber: number;
  readonly createdMs: number;
  readonly key: Uint8Array;
  readonly before: Uint8Array;
}

export const segmentName = (segment: number): string => `raw-${String(segment).padStart(5, '0')}.log`;

/** Numbers of the segments among the names in a folder, rising. */
export function segmentNumbers(names: readonly string[]): number[] {
  return names
    .map((name) => NAME.exec(name)?.[1])
    .filter((digits) => digits !== undefined)
    .map(Number)
    .sort((a, b) => a - b);
}

export function encodeSegmentHeader(header: SegmentHeader): Buffer {
  const out = Buffer.alloc(SEGMENT_HEADER_BYTES);
  MAGIC.copy(out);
  out.writeUInt32LE(header.segment, 8);
  out.writeDoubleLE(header.firstNumber, 16);
  out.writeDoubleLE(header.createdMs, 24);
  out.set(header.key, 32);
  out.set(header.before, 48);
  out.writeUInt32LE(crc32(out.subarray(0, 92)), 92);
  return out;
}

const ANY_MAGIC = /^JWLOG\/([2-9])\n/;

/** The number of a later format, whose header keeps its length and its checksum; null for ours, and for what is damaged. */
export function laterLog(bytes: Buffer): number | null {
  const found = ANY_MAGIC.exec(bytes.subarray(0, MAGIC.length).toString('latin1'));
  if (!found || bytes.length < SEGMENT_HEADER_BYTES) return null;
  return bytes.readUInt32LE(92) === crc32(bytes.subarray(0, 92)) ? Number(found[1]) : null;
}

/** Null when it is not whole, or is that of another segment. */
export function decodeSegmentHeader(bytes: Buffer, segment: number): SegmentHeader | null {
  if (bytes.length < SEGMENT_HEADER_BYTES || !bytes.subarray(0, MAGIC.length).equals(MAGIC)) return null;
  if (bytes.readUInt32LE(92) !== crc32(bytes.subarray(0, 92)) || bytes.readUInt32LE(8) !== segment) return null;
  return {
    segment,
    firstNumber: bytes.readDoubleLE(16),
    createdMs: bytes.readDoubleLE(24),
    key: Uint8Array.from(bytes.subarray(32, 32 + KEY_BYTES)),
    before: Uint8Array.from(bytes.subarray(48, 48 + HASH_BYTES)),
  };
}
