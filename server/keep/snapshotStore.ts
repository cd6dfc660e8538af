/**
 * States of the pipeline kept beside a run, so that it need not be worked out from its first record. A cache: a snapshot
 * that does not hold, or was made by another program or plan, is passed over, reported and taken away.
 *
 * A file `state-<record>.snap`: one line of JSON (key, record, hash of the chain there), then
 * the state as `node:v8` writes it (NaN, typed arrays and maps come back as they were), then the CRC of all before it.
 */
import { createHash } from 'node:crypto';
import { deserialize, serialize } from 'node:v8';
import { crc32 } from 'node:zlib';
import { type Disk, DiskError, readWhole, writeWhole } from './disk.ts';

/** One state. */
const MOST_SNAPSHOT_BYTES = 64 * 1024 * 1024;
/** Snapshots kept for a run: one in ten minutes of three days, and some. */
export const MOST_SNAPSHOTS = 600;
const NAME = /^state-(\d{12})\.snap$/;

export interface Snapshot<State> {
  /** The last record of the raw log that is in the state. */
  readonly number: number;
  /** Hash of the chain there, hex: to be held against the log. */
  readonly hash: string;
  readonly state: State;
}

interface Head {
  readonly key: string;
  readonly number: number;
  readonly hash: string;
}

const nameOf = (number: number): string => `state-${String(number).padStart(12, '0')}.snap`;
const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex');

export class SnapshotStore<State> {
  readonly #disk: Disk;
  readonly #folder: string;
  readonly #key: string;
  readonly #report: (line: string) => void;
  readonly #most: number;

  /**
   * @param key all that the state depends on beside the log: version of the program, plans, key of the run
   * @param most snapshots that are kept
   */
  constructor(disk: Disk, folder: string, key: string, report: (line: string) => void, most = MOST_SNAPSHOTS) {
    this.#disk = disk;
    this.#folder = folder;
    this.#key = sha256(key);
    this.#report = report;
    this.#most = most;
  }

  /** Records of which there is a snapshot, rising; not all need hold. @throws DiskError */
  numbers(): number[] {
    const found = this.#disk.list(this.#folder).map((name) => NAME.exec(name)?.[1]);
    return found.filter((digits) => digits !== undefined).map(Number);
  }

  /**
   * @param state plain data; it is not kept by reference
   * @throws DiskError
   */
  async save({ number, hash, state }: Snapshot<State>): Promise<void> {
    const head: Head = { key: this.#key, number, hash };
    const line = Buffer.from(`${JSON.stringify(head)}\n`);
    const content = Buffer.concat([line, serialize(state), Buffer.alloc(4)]);
    content.writeUInt32LE(crc32(content.subarray(0, -4)), content.length - 4);
    this.#disk.makeFolder(this.#folder);
    await writeWhole(this.#disk, this.#folder, nameOf(number), content);
    this.#thinOut();
  }

  /** The last that holds at or before a record; null: begin at the start. */
  atOrBefore(number: number): Snapshot<State> | null {
    const before = this.numbers().filter((found) => found <= number);
    for (const found of before.reverse()) {
      const snapshot = this.#read(found);
      if (snapshot) return snapshot;
    }
    return null;
  }

  #read(number: number): Snapshot<State> | null {
    const path = `${this.#folder}/${nameOf(number)}`;
    try {
      const content = Buffer.from(readWhole(this.#disk, path, MOST_SNAPSHOT_BYTES));
      const snapshot = this.#decode(content, number);
      if (typeof snapshot !== 'string') return snapshot;
      this.#report(`${path}: ${snapshot}; it is worked out again`);
      this.#disk.remove(path);
    } catch (error) {
      if (!(error instanceof DiskError)) throw error;
      this.#report(error.message);
    }
    return null;
  }

  #decode(content: Buffer, number: number): Snapshot<State> | string {
    const end = content.length - 4;
    if (end < 0 || crc32(content.subarray(0, end)) !== content.readUInt32LE(end)) return 'the checksum does not hold';
    const line = content.indexOf('\n');
    const head = JSON.parse(content.subarray(0, line).toString('utf8')) as Head;
    if (head.key !== this.#key) return 'made by another version or for another plan';
    if (head.number !== number) return `found the state of record ${head.number}`;
    return { number, hash: head.hash, state: deserialize(content.subarray(line + 1, end)) as State };
  }

  /** Where there are too many, every second of the older half goes. */
  #thinOut(): void {
    const numbers = this.numbers();
    if (numbers.length <= this.#most) return;
    for (let i = 0; i < numbers.length / 2; i += 2) this.#disk.remove(`${this.#folder}/${nameOf(numbers[i]!)}`);
  }
}
