/**
 * A disk in memory with a seed: it tears writes, fails, fills up, forgets and lies as disks do, and can lose its power. What
 * was written is in the cache until it is synced; after a crash each file has what was synced and any part of the rest.
 */
import type { Random } from '../../ingest/simulator/random.ts';
import { type Disk, DiskError, type DiskFile, type DiskTrouble } from '../../server/keep/disk.ts';

export interface Faults {
  /** Chances for one call. */
  syncFails: number;
  writeFails: number;
  /** A sync says that it is done and does nothing. */
  lies: boolean;
  capacityBytes: number;
}

export const noFaults = (): Faults => ({ syncFails: 0, writeFails: 0, lies: false, capacityBytes: Infinity });

type Op = { readonly at: number; readonly bytes: Buffer } | { readonly size: number };
const SECTOR = 512;

interface File {
  durable: Buffer;
  cache: Buffer;
  pending: Op[];
  /** The folder was synced after the file was made. */
  named: boolean;
}

function resized(bytes: Buffer, size: number): Buffer {
  if (size <= bytes.length) return Buffer.from(bytes.subarray(0, size));
  return Buffer.concat([bytes, Buffer.alloc(size - bytes.length)]);
}

function applied(to: Buffer, op: Op): Buffer {
  if ('size' in op) return resized(to, op.size);
  const out = resized(to, Math.max(to.length, op.at + op.bytes.length));
  op.bytes.copy(out, op.at);
  return out;
}

export class SimDisk implements Disk {
  readonly faults = noFaults();
  readonly #files = new Map<string, File>();
  readonly #random: Random;
  #epoch = 0;

  constructor(random: Random) {
    this.#random = random;
  }

  #found(path: string): File {
    const file = this.#files.get(path);
    if (!file) throw new DiskError('missing', `${path}: found ENOENT, expected a file`);
    return file;
  }

  #used(): number {
    let bytes = 0;
    for (const file of this.#files.values()) bytes += file.cache.length;
    return bytes;
  }

  #trouble(trouble: DiskTrouble, path: string): never {
    throw new DiskError(trouble, `${path}: simulated: ${trouble}`);
  }

  #put(path: string, op: Op): void {
    const file = this.#found(path);
    file.pending.push(op);
    file.cache = applied(file.cache, op);
  }

  #write(path: string, bytes: Uint8Array, at: number): void {
    const { writeFails, capacityBytes } = this.faults;
    const grown = Math.max(0, at + bytes.length - this.#found(path).cache.length);
    const room = Math.max(0, capacityBytes - this.#used());
    const full = grown > room;
    const fails = this.#random.chance(writeFails);
    const most = full ? bytes.length - grown + room : bytes.length;
    const written = fails ? this.#random.whole(0, most) : most;
    if (written > 0) this.#put(path, { at, bytes: Buffer.from(bytes.subarray(0, written)) });
    if (fails) this.#trouble('failed', path);
    if (full) this.#trouble('full', path);
  }

  async #sync(path: string): Promise<void> {
    const file = this.#found(path);
    if (this.faults.lies) return;
    const fails = this.#random.chance(this.faults.syncFails);
    // After a sync that failed the cache takes its pages for written, whether they were or not.
    const ops = fails ? file.pending.filter(() => this.#random.chance(0.5)) : file.pending;
    for (const op of ops) file.durable = applied(file.durable, op);
    file.pending = [];
    if (fails) this.#trouble('failed', path);
  }

  /** The disk as one process has it: nothing of the process reaches the disk after a crash. */
  process(): Disk {
    const epoch = this.#epoch;
    const alive = <T>(call: () => T): T => {
      if (epoch !== this.#epoch) this.#trouble('failed', 'the process has ended');
      return call();
    };
    const file = (opened: DiskFile): DiskFile => ({
      ...opened,
      read: (into, at) => alive(() => opened.read(into, at)),
      write: (bytes, at) => alive(() => opened.write(bytes, at)),
      truncate: (size) => alive(() => opened.truncate(size)),
      datasync: async () => {
        await null;
        return alive(() => opened.datasync());
      },
    });
    return {
      open: (path, mode) => alive(() => file(this.open(path, mode))),
      list: (folder) => this.list(folder),
      makeFolder: () => {},
      rename: (from, to) => alive(() => this.rename(from, to)),
      remove: (path) => alive(() => this.remove(path)),
      removeFolder: () => alive(() => this.removeFolder()),
      syncFolder: (folder) => alive(() => this.syncFolder(folder)),
      space: () => this.space(),
    };
  }

  open(path: string, mode: 'read' | 'write'): DiskFile {
    if (mode === 'write' && !this.#files.has(path)) {
      this.#files.set(path, { durable: Buffer.alloc(0), cache: Buffer.alloc(0), pending: [], named: false });
    }
    this.#found(path);
    return {
      path,
      size: () => this.#found(path).cache.length,
      read: (into, at) => this.#found(path).cache.copy(into, 0, at, at + into.length),
      write: (bytes, at) => this.#write(path, bytes, at),
      truncate: (size) => this.#put(path, { size }),
      datasync: () => this.#sync(path),
      close: () => {},
    };
  }

  list(folder: string): string[] {
    const start = `${folder}/`;
    const inside = [...this.#files.keys()].filter((path) => path.startsWith(start));
    return [...new Set(inside.map((path) => path.slice(start.length).split('/')[0]!))].sort();
  }

  makeFolder(): void {}

  rename(from: string, to: string): void {
    this.#files.set(to, this.#found(from));
    this.#files.delete(from);
  }

  remove(path: string): void {
    this.#files.delete(path);
  }

  /** Folders are no more than the names of their files. */
  removeFolder(): void {}

  syncFolder(folder: string): void {
    for (const [path, file] of this.#files) if (path.startsWith(`${folder}/`)) file.named = true;
  }

  space(): { freeBytes: number; totalBytes: number } {
    const { capacityBytes } = this.faults;
    const totalBytes = Number.isFinite(capacityBytes) ? capacityBytes : 1e12;
    return { freeBytes: Math.max(0, totalBytes - this.#used()), totalBytes };
  }

  /** The power goes: what was not synced is there in part, sector by sector, or not at all. */
  crash(): void {
    this.#epoch++;
    for (const [path, file] of this.#files) {
      if (!file.named && this.#random.chance(0.5)) {
        this.#files.delete(path);
        continue;
      }
      const kept = file.pending.slice(0, this.#random.whole(0, file.pending.length));
      for (const [i, op] of kept.entries()) {
        file.durable = i === kept.length - 1 ? this.#torn(file.durable, op) : applied(file.durable, op);
      }
      file.cache = Buffer.from(file.durable);
      file.pending = [];
    }
  }

  #torn(durable: Buffer, op: Op): Buffer {
    if ('size' in op) return applied(durable, op);
    // Cut at any byte, or with sectors in the middle that never came.
    const { at } = op;
    const bytes = Buffer.from(op.bytes.subarray(0, this.#random.whole(0, op.bytes.length)));
    const out = applied(durable, { at, bytes });
    for (let place = at - (at % SECTOR) + SECTOR; place < at + bytes.length; place += SECTOR) {
      if (this.#random.chance(0.3)) out.fill(0, place, Math.min(place + SECTOR, at + bytes.length));
    }
    return out;
  }

  /** At rest: one bit of one file turns. Answers which file. */
  flip(isMeant: (path: string) => boolean): string | null {
    const meant = [...this.#files].filter(([path, { cache }]) => isMeant(path) && cache.length > 0);
    if (meant.length === 0) return null;
    const [path, file] = this.#random.pick(meant);
    const bit = this.#random.whole(0, file.cache.length * 8 - 1);
    for (const bytes of [file.cache, file.durable]) {
      if (bit >> 3 < bytes.length) bytes[bit >> 3]! ^= 1 << (bit & 7);
    }
    return path;
  }

  /** What would be there if the power went now and nothing that is not synced had come. */
  onPlatter(): Map<string, Buffer> {
    return new Map([...this.#files].map(([path, { durable }]) => [path, durable]));
  }

  /** A file as it lies on the disk. */
  put(path: string, bytes: Buffer): void {
    this.#files.set(path, { durable: bytes, cache: Buffer.from(bytes), pending: [], named: true });
  }

  files(): Map<string, Buffer> {
    return new Map([...this.#files].map(([path, { cache }]) => [path, cache]));
  }
}
