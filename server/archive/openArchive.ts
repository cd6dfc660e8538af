/**
 * The container of an archive, read as what it is: something from outside.
 *
 * A1 Only names of the format are taken, each once; folders, links and anything encrypted are refused, and so is every other
 *    name: none leads out of the folder that is unpacked into, since no name of the archive ever becomes a path.
 * A2 Files, bytes and their ratio to the archive are bounded by what its directory says, before anything is unpacked; a file
 *    that is longer than it says ends the reading.
 * A3 An archive within the archive is not opened.
 */
import { createHash } from 'node:crypto';
import { createWriteStream } from 'node:fs';
import type { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { type Entry, openPromise, type ZipFile } from 'yauzl';
import { Fault } from '../../src/fault.ts';
import { fileReason } from '../plan/readBounded.ts';
import { shown } from '../plan/schemaFaults.ts';
import { ARCHIVE_LIMITS, isArchiveName } from './archiveManifest.ts';

export interface ArchiveFile {
  readonly name: string;
  /** As the directory says. */
  readonly bytes: number;
}

export interface Unpacked {
  readonly bytes: number;
  readonly sha256: string;
}

const EXPECTED = 'expected the archive of a run';
const LINK = 0o120000;
const KIND = 0o170000;
/** The upper byte of `versionMadeBy` where the attributes are those of Unix. */
const UNIX = 3;

export class OpenArchive {
  readonly file: string;
  readonly #zip: ZipFile;
  readonly #entries: ReadonlyMap<string, Entry>;

  private constructor(file: string, zip: ZipFile, entries: ReadonlyMap<string, Entry>) {
    this.file = file;
    this.#zip = zip;
    this.#entries = entries;
  }

  /** @throws Fault `file unreadable`, `file too large` */
  static async open(file: string): Promise<OpenArchive> {
    const zip = await openPromise(file, { lazyEntries: true, autoClose: false, strictFileNames: true }).catch(
      (error: unknown) => {
        throw unreadable(file, error);
      },
    );
    try {
      return new OpenArchive(file, zip, await entriesOf(file, zip));
    } catch (error) {
      zip.close();
      throw error;
    }
  }

  get files(): readonly ArchiveFile[] {
    return [...this.#entries].map(([name, { uncompressedSize }]) => ({ name, bytes: uncompressedSize }));
  }

  has(name: string): boolean {
    return this.#entries.has(name);
  }

  /** @param most bytes @throws Fault: also when it is longer */
  async read(name: string, most: number): Promise<Buffer> {
    const stream = await this.#stream(name, most);
    const parts: Buffer[] = [];
    try {
      for await (const part of stream) parts.push(part as Buffer);
    } catch (error) {
      throw unreadable(`${this.file}, ${name}`, error);
    }
    return Buffer.concat(parts);
  }

  /** @param path of the file that it becomes, made from nothing that the archive says @throws Fault */
  async unpack(name: string, path: string | null, most: number): Promise<Unpacked> {
    const sum = createHash('sha256');
    let bytes = 0;
    const stream = await this.#stream(name, most);
    async function* counted(source: AsyncIterable<Buffer>): AsyncGenerator<Buffer> {
      for await (const part of source) {
        sum.update(part);
        bytes += part.length;
        yield part;
      }
    }
    try {
      if (path === null) for await (const _ of counted(stream)) void _;
      else await pipeline(stream, counted, createWriteStream(path, { flags: 'wx', mode: 0o600 }));
    } catch (error) {
      const { code } = error as NodeJS.ErrnoException;
      if (code === 'ENOSPC' || code === 'EDQUOT') throw new Fault('cannot write', `${path}: ${fileReason(error)}`);
      throw unreadable(`${this.file}, ${name}`, error);
    }
    return { bytes, sha256: sum.digest('hex') };
  }

  close(): void {
    this.#zip.close();
  }

  async #stream(name: string, most: number): Promise<Readable> {
    const entry = this.#entries.get(name);
    if (!entry) throw new Fault('file unreadable', `${this.file}: found no ${name}, ${EXPECTED}`);
    if (entry.uncompressedSize > most) {
      const found = `found ${entry.uncompressedSize} bytes`;
      throw new Fault('file too large', `${this.file}, ${name}: ${found}, expected at most ${most}`);
    }
    return this.#zip.openReadStreamPromise(entry).catch((error: unknown) => {
      throw unreadable(`${this.file}, ${name}`, error);
    });
  }
}

function unreadable(place: string, error: unknown): unknown {
  if (error instanceof Fault || !(error instanceof Error)) return error;
  const { code } = error as NodeJS.ErrnoException;
  const found = code !== undefined && /^E[A-Z]+$/.test(code) ? fileReason(error) : `found ${shown(error.message)}`;
  return new Fault('file unreadable', `${place}: ${found}, ${EXPECTED}`);
}

async function entriesOf(file: string, zip: ZipFile): Promise<ReadonlyMap<string, Entry>> {
  const { entries: most, bytes: mostBytes, ratio, harmlessBytes } = ARCHIVE_LIMITS;
  if (zip.entryCount > most) {
    throw new Fault('file too large', `${file}: found ${zip.entryCount} files, expected at most ${most}`);
  }
  const entries = new Map<string, Entry>();
  let total = 0;
  try {
    for await (const entry of zip.eachEntry()) {
      mustBeTaken(file, entry, entries);
      entries.set(entry.fileName, entry);
      total += entry.uncompressedSize;
    }
  } catch (error) {
    throw unreadable(file, error);
  }
  const bound = Math.min(mostBytes, Math.max(harmlessBytes, ratio * zip.fileSize));
  if (total <= bound) return entries;
  throw new Fault('file too large', `${file}: found ${total} bytes in ${zip.fileSize}, expected at most ${bound}`);
}

/** A1. */
function mustBeTaken(file: string, entry: Entry, entries: ReadonlyMap<string, Entry>): void {
  const name = shown(entry.fileName);
  const refuse = (found: string): never => {
    throw new Fault('file unreadable', `${file}: found ${found}, ${EXPECTED}`);
  };
  const mode = entry.externalFileAttributes >>> 16;
  if (entry.versionMadeBy >>> 8 === UNIX && (mode & KIND) === LINK) refuse(`the link ${name}`);
  if (!isArchiveName(entry.fileName)) refuse(`a file called ${name}`);
  if (entries.has(entry.fileName)) refuse(`${name} twice`);
  if (entry.isEncrypted()) refuse(`${name} encrypted`);
}
