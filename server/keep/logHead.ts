/**
 * How far the raw log was known to be on the disk, kept beside it: a log that ends earlier has lost its tail. Two slots
 * are written in turns, so that a torn write leaves the other. They are not synced (that would double the cost of every
 * record): after a power cut the head may be behind the log, never before it unless the log lost something.
 *
 * A slot, 96 bytes little endian: 0 'JWhd'  4 CRC of the rest  8 number f64  16 arrival f64  24 segment u32  28 end u32
 * 32 key, 16 bytes  48 hash, 32 bytes  80 zero.
 */
import { crc32 } from 'node:zlib';
import { type Disk, DiskError, type DiskFile, readWhole } from './disk.ts';
import { HASH_BYTES, KEY_BYTES } from './rawRecord.ts';

export const HEAD_NAME = 'head';
const SLOT_BYTES = 96;
const MARK = 0x6468574a;

export interface LogHead {
  /** The last record that is on the disk; 0 before the first. */
  readonly number: number;
  readonly arrivalMs: number;
  readonly segment: number;
  /** Place behind it in its segment. */
  readonly end: number;
  readonly key: Uint8Array;
  readonly hash: Uint8Array;
}

function encodeHead(out: Buffer, head: LogHead): Buffer {
  out.writeUInt32LE(MARK, 0);
  out.writeDoubleLE(head.number, 8);
  out.writeDoubleLE(head.arrivalMs, 16);
  out.writeUInt32LE(head.segment, 24);
  out.writeUInt32LE(head.end, 28);
  out.set(head.key, 32);
  out.set(head.hash, 48);
  out.writeUInt32LE(crc32(out.subarray(8)), 4);
  return out;
}

function decodeHead(slot: Buffer): LogHead | null {
  if (slot.length < SLOT_BYTES || slot.readUInt32LE(0) !== MARK || slot.readUInt32LE(4) !== crc32(slot.subarray(8))) {
    return null;
  }
  return {
    number: slot.readDoubleLE(8),
    arrivalMs: slot.readDoubleLE(16),
    segment: slot.readUInt32LE(24),
    end: slot.readUInt32LE(28),
    key: Uint8Array.from(slot.subarray(32, 32 + KEY_BYTES)),
    hash: Uint8Array.from(slot.subarray(48, 48 + HASH_BYTES)),
  };
}

export interface HeadRead {
  readonly head: LogHead | null;
  /** Slots that hold something which is not whole. */
  readonly damaged: readonly string[];
}

/** @throws DiskError other than `missing` */
export function readHead(disk: Disk, folder: string): HeadRead {
  let bytes: Buffer;
  try {
    bytes = Buffer.from(readWhole(disk, `${folder}/${HEAD_NAME}`, 2 * SLOT_BYTES));
  } catch (error) {
    if (error instanceof DiskError && error.trouble === 'missing') return { head: null, damaged: [] };
    throw error;
  }
  const damaged: string[] = [];
  let head: LogHead | null = null;
  for (let at = 0; at < bytes.length; at += SLOT_BYTES) {
    const slot = bytes.subarray(at, at + SLOT_BYTES);
    const found = decodeHead(slot);
    if (found === null) {
      // Before its first use the second slot holds nothing.
      if (slot.some((byte) => byte !== 0)) damaged.push(`${HEAD_NAME}, bytes ${at} to ${at + slot.length}: not whole`);
    } else if (head === null || found.number > head.number) head = found;
  }
  return { head, damaged };
}

/** Writes the head after each commit. */
export class HeadFile {
  readonly #file: DiskFile;
  readonly #slot = Buffer.alloc(SLOT_BYTES);
  #turn = 0;

  /** @throws DiskError */
  constructor(disk: Disk, folder: string) {
    this.#file = disk.open(`${folder}/${HEAD_NAME}`, 'write');
    if (this.#file.size() > 2 * SLOT_BYTES) this.#file.truncate(2 * SLOT_BYTES);
  }

  /** @throws DiskError */
  write(head: LogHead): void {
    this.#file.write(encodeHead(this.#slot, head), this.#turn * SLOT_BYTES);
    this.#turn = 1 - this.#turn;
  }

  /** The same in both slots, on the disk: at the end of the writing. @throws DiskError */
  async settle(head: LogHead): Promise<void> {
    this.write(head);
    this.write(head);
    await this.#file.datasync();
  }

  close(): void {
    this.#file.close();
  }
}
