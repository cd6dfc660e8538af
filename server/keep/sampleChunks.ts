/**
 * Decoded samples kept in chunks, so that a run of days is in memory again at once. A cache: checked when read, cut at the
 * first chunk that does not hold, and worked out again from the raw log from there on.
 *
 * The file, little endian: header of 64 bytes (0 'JWSMPL/1', 8 CRC of bytes 16 to 64, 12 columns u32, 16 key SHA-256, 48
 * zero), then chunks:
 *     0  'JWc1'   4  bytes of the chunk u32   8  CRC of bytes 12 to the end, going on from that of the chunk before
 *    12  rows u32   16  last record of the log that is in it f64   24  hash of the chain there, 32 bytes   56  zero
 *    64  the time of each sample, then its values: columns (see src/replay/columnPacking.ts)
 */
import { createHash } from 'node:crypto';
import { crc32 } from 'node:zlib';
import { invariant } from '../../src/fault.ts';
import { type ColumnUnit, columnBytes, packColumn, unpackColumn } from '../../src/replay/columnPacking.ts';
import { type Disk, DiskError, type DiskFile, readWhole } from './disk.ts';
import { HASH_BYTES } from './rawRecord.ts';

/** Ten minutes at 1 Hz. */
export const CHUNK_ROWS = 600;
/** A month of samples, all of them kept as they are. */
const MOST_FILE_BYTES = 1024 * 1024 * 1024;
const FILE_HEADER = 64;
const CHUNK_HEADER = 64;
const MAGIC = Buffer.from('JWSMPL/1');
const CHUNK_MARK = 0x3163574a;

export interface CachedSamples {
  readonly rows: number;
  /** ms since 1970 UTC. */
  readonly time: Float64Array;
  readonly columns: readonly Float64Array[];
  /** The last record of the raw log that is in it, and the chain's hash there: to be held against the log. */
  readonly lastNumber: number;
  readonly hash: Uint8Array;
  /** Bytes of the file that hold. */
  readonly bytes: number;
  /** Where each chunk ends: rows so far, and the file up to there. */
  readonly ends: readonly ChunkEnd[];
  /** One line when something did not; what came before it is given. */
  readonly problems: readonly string[];
}

type ChunkEnd = Pick<CachedSamples, 'rows' | 'bytes' | 'lastNumber' | 'hash'>;

export interface SampleCacheForm {
  /** All that the samples depend on beside the log: version of the decoder, channel map, key of the run. */
  readonly key: string;
  readonly columns: number;
}

const keyHash = (key: string): Buffer => createHash('sha256').update(key).digest();

function fileHeader({ key, columns }: SampleCacheForm): Buffer {
  const out = Buffer.alloc(FILE_HEADER);
  MAGIC.copy(out);
  keyHash(key).copy(out, 16);
  out.writeUInt32LE(columns, 12);
  out.writeUInt32LE(crc32(out.subarray(12)), 8);
  return out;
}

const nothing = (columns: number, problems: string[]): CachedSamples => ({
  rows: 0,
  time: new Float64Array(0),
  columns: Array.from({ length: columns }, () => new Float64Array(0)),
  lastNumber: 0,
  hash: new Uint8Array(HASH_BYTES),
  bytes: 0,
  ends: [],
  problems,
});

/** Its first rows alone; null when no chunk ends there. Nothing of it is left at 0 rows. */
export function firstRows(cached: CachedSamples, rows: number): CachedSamples | null {
  if (rows === 0) return nothing(cached.columns.length, []);
  const end = cached.ends.find((each) => each.rows === rows);
  if (!end) return null;
  const { time, columns } = cached;
  return { ...cached, ...end, time: time.subarray(0, rows), columns: columns.map((each) => each.subarray(0, rows)) };
}

interface Chunk {
  readonly at: number;
  readonly rows: number;
  readonly end: number;
}

/** What holds of the cache; nothing of it when it is missing, or was made for another key. @throws DiskError */
export function readSampleCache(disk: Disk, path: string, wanted: SampleCacheForm): CachedSamples {
  let whole: Uint8Array;
  try {
    whole = readWhole(disk, path, MOST_FILE_BYTES);
  } catch (error) {
    if (error instanceof DiskError && error.trouble === 'missing') return nothing(wanted.columns, []);
    throw error;
  }
  const bytes = Buffer.from(whole.buffer, whole.byteOffset, whole.length);
  const header = fileHeader(wanted);
  if (!bytes.subarray(0, FILE_HEADER).equals(header)) {
    return nothing(wanted.columns, [`${path}: damaged, or of another run or version`]);
  }
  const { chunks, problem } = wholeChunks(bytes, header.readUInt32LE(8));
  const ends = endsOf(bytes, chunks);
  const last = ends.at(-1);
  const rows = last?.rows ?? 0;
  const time = new Float64Array(rows);
  const columns = Array.from({ length: wanted.columns }, () => new Float64Array(rows));
  decodeChunks(bytes, chunks, time, columns);
  return {
    rows,
    time,
    columns,
    lastNumber: last?.lastNumber ?? 0,
    hash: last?.hash ?? new Uint8Array(HASH_BYTES),
    bytes: last?.bytes ?? FILE_HEADER,
    ends,
    problems: problem ? [`${path}, ${problem}`] : [],
  };
}

function endsOf(bytes: Buffer, chunks: readonly Chunk[]): ChunkEnd[] {
  let rows = 0;
  return chunks.map(({ at, end, rows: more }) => {
    rows += more;
    const hash = Uint8Array.from(bytes.subarray(at + 24, at + 24 + HASH_BYTES));
    return { rows, bytes: end, lastNumber: bytes.readDoubleLE(at + 16), hash };
  });
}

function wholeChunks(bytes: Buffer, seed: number): { chunks: Chunk[]; problem: string | null } {
  const chunks: Chunk[] = [];
  let at = FILE_HEADER;
  let crc = seed;
  while (at < bytes.length) {
    const problem = `bytes ${at} to ${bytes.length}: chunk ${chunks.length + 1} is not whole`;
    if (bytes.length - at < CHUNK_HEADER || bytes.readUInt32LE(at) !== CHUNK_MARK) return { chunks, problem };
    const end = at + bytes.readUInt32LE(at + 4);
    if (end > bytes.length || end < at + CHUNK_HEADER) return { chunks, problem };
    crc = crc32(bytes.subarray(at + 12, end), crc);
    if (crc !== bytes.readUInt32LE(at + 8)) return { chunks, problem };
    const rows = bytes.readUInt32LE(at + 12);
    chunks.push({ at, rows, end });
    at = end;
  }
  return { chunks, problem: null };
}

function decodeChunks(
  bytes: Buffer,
  chunks: readonly Chunk[],
  time: Float64Array,
  columns: readonly Float64Array[],
): void {
  const from = columnBytes(bytes);
  let row = 0;
  for (const { at, rows, end } of chunks) {
    let place: number | null = unpackColumn(from, at + CHUNK_HEADER, rows, time, row);
    for (const column of columns) {
      if (place !== null) place = unpackColumn(from, place, rows, column, row);
    }
    invariant(place === end, 'a chunk whose checksum holds is one that was written');
    row += rows;
  }
}

/** Adds chunks to the cache. Not synced: what a power cut takes is worked out again. */
export class SampleCacheWriter {
  readonly #file: DiskFile;
  #end: number;
  #crc: number;

  /** @param found what was read of it: the rest is cut away. @throws DiskError */
  constructor(disk: Disk, path: string, wanted: SampleCacheForm, found: Pick<CachedSamples, 'bytes'>) {
    const header = fileHeader(wanted);
    this.#file = disk.open(path, 'write');
    this.#end = Math.max(found.bytes, FILE_HEADER);
    this.#file.truncate(found.bytes);
    this.#file.write(header, 0);
    this.#crc = this.#lastCrc(header.readUInt32LE(8));
  }

  #lastCrc(seed: number): number {
    let crc = seed;
    const head = Buffer.alloc(12);
    for (let at = FILE_HEADER; at < this.#end; at += head.readUInt32LE(4)) {
      this.#file.read(head, at);
      crc = head.readUInt32LE(8);
    }
    return crc;
  }

  /**
   * @param time ms since 1970 UTC, at most CHUNK_ROWS of them @param columns as many values each
   * @param units for each column, units its values may have come in
   * @param lastNumber of the raw log, in or before these rows, and the chain's hash there
   * @throws DiskError
   */
  append(
    time: Float64Array,
    columns: readonly Float64Array[],
    units: readonly (readonly ColumnUnit[])[],
    { lastNumber, hash }: Pick<CachedSamples, 'lastNumber' | 'hash'>,
  ): void {
    const rows = time.length;
    const packed = [packColumn(time, []), ...columns.map((values, i) => packColumn(values, units[i] ?? []))];
    const length = packed.reduce((sum, bytes) => sum + bytes.length, CHUNK_HEADER);
    const out = Buffer.alloc(length);
    out.writeUInt32LE(CHUNK_MARK, 0);
    out.writeUInt32LE(length, 4);
    out.writeUInt32LE(rows, 12);
    out.writeDoubleLE(lastNumber, 16);
    out.set(hash, 24);
    let at = CHUNK_HEADER;
    for (const bytes of packed) {
      out.set(bytes, at);
      at += bytes.length;
    }
    const crc = crc32(out.subarray(12), this.#crc);
    out.writeUInt32LE(crc, 8);
    this.#file.write(out, this.#end);
    this.#end += length;
    this.#crc = crc;
  }

  close(): void {
    this.#file.close();
  }
}
