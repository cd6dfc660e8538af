/**
 * The end of the raw log on the disk: the segment that is written, and the head that says how far it is known to be whole.
 * Knows nothing of who waits; every write either is on the disk or leaves the head where it was.
 */
import { invariant } from '../../src/fault.ts';
import { type Disk, DiskError, type DiskFile } from './disk.ts';
import { HeadFile, type LogHead } from './logHead.ts';
import { decodeRecord, encodeRecord, type RawRecord, RECORD_OVERHEAD, segmentSeed } from './rawRecord.ts';
import { encodeSegmentHeader, MOST_SEGMENTS, SEGMENT_BYTES, SEGMENT_HEADER_BYTES, segmentName } from './segment.ts';

/** Room for the records of a usual commit, bytes; and the most that is kept for the next after a longer one. */
const BUFFER_BYTES = 64 * 1024;
const MOST_BUFFER_BYTES = 2 * 1024 * 1024;

/**
 * Zeros written ahead of the records, bytes: a sync then has no new length of the file to write down (measured: 0.10 ms
 * against 0.14). Zeros up to the end of a segment are no damage.
 */
const ROOM_BYTES = 1024 * 1024;

/** Where a record lies, and its hash in the chain. */
export interface Place {
  readonly number: number;
  readonly segment: number;
  readonly at: number;
  readonly hash: Uint8Array;
}

export interface LogTailOptions {
  readonly disk: Disk;
  readonly folder: string;
  /** Where writing goes on. */
  readonly head: LogHead;
  /** Place of the last record in its segment; 0: none is there. */
  readonly lastAt: number;
  /** False: the segment of the head is not there yet. */
  readonly inSegment: boolean;
  /** Length at which a segment is followed by the next; SEGMENT_BYTES when left out. */
  readonly segmentBytes?: number | undefined;
  /** Room made ahead of the records; ROOM_BYTES when left out. */
  readonly roomBytes?: number | undefined;
  /** ms since 1970 UTC. */
  readonly nowMs: () => number;
  /** One line for each thing that went wrong, mended or not. */
  readonly report: (line: string) => void;
}

type Segment = { readonly file: DiskFile; readonly number: number; readonly seed: number };

export class LogTail {
  readonly #options: LogTailOptions;
  readonly #headFile: HeadFile;
  #head: LogHead;
  /** Place of the last record, to be looked at when the file is opened again; 0: none in this segment. */
  #lastAt: number;
  #segment: Segment | null = null;
  /** Up to here the segment is filled with zeros; Infinity: there is no room to be made. */
  #roomEnd = 0;
  #buffer = Buffer.alloc(BUFFER_BYTES);

  /** @throws DiskError */
  constructor(options: LogTailOptions) {
    this.#options = options;
    this.#head = options.head;
    this.#lastAt = options.lastAt;
    this.#headFile = new HeadFile(options.disk, options.folder);
    if (options.inSegment) this.#segment = this.#openSegment(options.head.segment);
  }

  /** The last record that is on the disk. */
  get head(): LogHead {
    return this.#head;
  }

  /** The head is synced and the files given back. @throws DiskError */
  async close(): Promise<void> {
    await this.#headFile.settle(this.#head);
    this.#headFile.close();
    const file = this.#segment?.file;
    file?.truncate(this.#head.end);
    await file?.datasync();
    file?.close();
  }

  /**
   * Resolves when all of them are on the disk, with the places where they lie; one at a time.
   * @throws DiskError: then none of them counts, and `reopen` comes first
   */
  async write(batch: readonly Omit<RawRecord, 'number'>[]): Promise<Place[]> {
    if (this.#segment === null || this.#head.end >= (this.#options.segmentBytes ?? SEGMENT_BYTES))
      await this.#nextSegment();
    const segment = this.#segment!;
    const length = batch.reduce((sum, { bytes }) => sum + bytes.length + RECORD_OVERHEAD, 0);
    if (this.#buffer.length < length) this.#buffer = Buffer.alloc(length);
    const { end } = this.#head;
    const places: Place[] = [];
    let { number, hash } = this.#head;
    let at = 0;
    for (const { kind, bytes, arrivalMs } of batch) {
      number++;
      hash = encodeRecord(this.#buffer, at, { number, arrivalMs, kind, bytes }, segment.seed, end + at, hash);
      places.push({ number, segment: segment.number, at: end + at, hash });
      at += RECORD_OVERHEAD + bytes.length;
    }
    if (end + length > this.#roomEnd) this.#makeRoom(segment.file, end);
    segment.file.write(this.#buffer.subarray(0, length), end);
    // One long batch is not kept for good.
    if (this.#buffer.length > MOST_BUFFER_BYTES) this.#buffer = Buffer.alloc(BUFFER_BYTES);
    await segment.file.datasync();
    const { arrivalMs } = batch[batch.length - 1]!;
    this.#lastAt = places[places.length - 1]!.at;
    this.#head = { number, arrivalMs, segment: segment.number, end: end + length, key: this.#head.key, hash };
    this.#writeHead();
    return places;
  }

  /** The head is a second witness: that it cannot be written does not stop the log. */
  #writeHead(): void {
    try {
      this.#headFile.write(this.#head);
    } catch (error) {
      this.#options.report(lineOf(error));
    }
  }

  #makeRoom(file: DiskFile, from: number): void {
    const bytes = this.#options.roomBytes ?? ROOM_BYTES;
    try {
      file.write(Buffer.alloc(bytes), from);
      this.#roomEnd = from + bytes;
    } catch (error) {
      if (!(error instanceof DiskError) || error.trouble !== 'full') throw error;
      // What is left of the disk is for records.
      file.truncate(from);
      this.#roomEnd = Infinity;
    }
  }

  async #nextSegment(): Promise<void> {
    const { folder, disk } = this.#options;
    // Without a segment the head names the one to be made.
    const number = this.#segment ? this.#head.segment + 1 : this.#head.segment;
    invariant(number <= MOST_SEGMENTS, 'a run has fewer segments than their limit');
    const next = this.#openSegment(number);
    try {
      next.file.truncate(0);
      const { key, hash: before } = this.#head;
      const firstNumber = this.#head.number + 1;
      const createdMs = this.#options.nowMs();
      next.file.write(encodeSegmentHeader({ segment: number, firstNumber, createdMs, key, before }), 0);
      await next.file.datasync();
      disk.syncFolder(folder);
    } catch (error) {
      next.file.close();
      throw error;
    }
    this.#segment?.file.truncate(this.#head.end);
    this.#segment?.file.close();
    this.#segment = next;
    this.#roomEnd = 0;
    this.#lastAt = 0;
    this.#head = { ...this.#head, segment: number, end: SEGMENT_HEADER_BYTES };
  }

  #openSegment(number: number): Segment {
    const file = this.#options.disk.open(`${this.#options.folder}/${segmentName(number)}`, 'write');
    return { file, number, seed: segmentSeed(this.#head.key, number) };
  }

  /** Cuts what is not known to be on the disk. Answers whether the end of the log is as it should be. */
  async reopen(): Promise<boolean> {
    const old = this.#segment;
    if (old === null) return true;
    try {
      old.file.close();
    } catch (error) {
      // A handle that cannot be closed is given up: the file is opened by its name.
      this.#options.report(lineOf(error));
    }
    try {
      this.#segment = this.#openSegment(old.number);
      if (!this.#endHolds(this.#segment)) {
        this.#options.report(`${this.#segment.file.path}: the last record is damaged; a new segment follows`);
        this.#segment.file.close();
        // Left as it is: the reading names what is wrong with it.
        this.#segment = null;
        this.#head = { ...this.#head, segment: old.number + 1, end: SEGMENT_HEADER_BYTES };
        return true;
      }
      this.#segment.file.truncate(this.#head.end);
      this.#roomEnd = 0;
      await this.#segment.file.datasync();
      return true;
    } catch (error) {
      this.#options.report(lineOf(error));
      return false;
    }
  }

  #endHolds({ file, number, seed }: Segment): boolean {
    if (this.#lastAt === 0) return file.size() >= this.#head.end;
    const bytes = Buffer.alloc(this.#head.end - this.#lastAt);
    const read = file.read(bytes, this.#lastAt);
    const found = decodeRecord(bytes.subarray(0, read), this.#lastAt, number, this.#lastAt, seed);
    return 'hash' in found && found.number === this.#head.number && Buffer.compare(found.hash, this.#head.hash) === 0;
  }
}

/** What the disk said; anything else is our own mistake and goes on. */
export function lineOf(error: unknown): string {
  if (error instanceof DiskError) return error.message;
  throw error;
}
