/** Puts a run into one file. The run may be being recorded: what is archived is what was on the disk when it began. */
import { createHash } from 'node:crypto';
import { createReadStream, createWriteStream } from 'node:fs';
import { open, rename, rm } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { pipeline as joined, Readable, Transform } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { ZipFile } from 'yazl';
import { Fault } from '../../src/fault.ts';
import { recordOfKeptRun } from '../cli/recordOfKeptRun.ts';
import { type Backup, backupRun } from '../keep/backupRun.ts';
import { HEAD_NAME } from '../keep/logHead.ts';
import { nodeDisk } from '../keep/nodeDisk.ts';
import { RunReader } from '../keep/runReader.ts';
import { segmentName, segmentNumbers } from '../keep/segment.ts';
import { fileReason } from '../plan/readBounded.ts';
import { keptPlan } from '../recording/keptRun.ts';
import { recordText } from '../report/recordHash.ts';
import { VERSION } from '../version.ts';
import {
  ARCHIVE_FORMAT,
  JOURNAL_NAME,
  MANIFEST_NAME,
  type Manifest,
  planName,
  RAW_FOLDER,
  RECORD_NAME,
  REPORT_NAME,
} from './archiveManifest.ts';

export interface ArchiveOptions {
  /** Of the run. */
  readonly folder: string;
  readonly id: string;
  /** The archive. */
  readonly out: string;
  /** A printed report of the run, PDF, which lies in the folder that it is told; null, or left out: none. */
  readonly report?: ((run: RunReader, folder: string) => Promise<Uint8Array | null>) | undefined;
  /** Told how many bytes of the raw log have been worked through. */
  readonly read: (bytes: number) => void;
  /** Waited for now and then, where others have work too. */
  readonly pause?: (() => Promise<void>) | undefined;
}

/** A file of the archive and where its bytes come from. */
interface Part {
  readonly name: string;
  stream(): Readable;
}

const textPart = (name: string, content: string | Uint8Array): Part => ({
  name,
  stream: () => Readable.from([Buffer.from(content)]),
});

/** The zip's own times: those of the run, so that the same run gives the same file. */
const ZIP_OPTIONS = (createdMs: number) => ({ mtime: new Date(createdMs), mode: 0o100600 });

/**
 * @returns what was archived
 * @throws Fault `cannot write`, `file unreadable`; then there is no file
 */
export async function writeArchive(options: ArchiveOptions): Promise<Manifest> {
  const { folder, id, out } = options;
  const copy = join(dirname(out), `.${basename(out)}.${process.pid}.run`);
  const temporary = join(dirname(out), `.${basename(out)}.${process.pid}.tmp`);
  try {
    const backup = await backupRun(nodeDisk, folder, copy, id);
    const manifest = await pack(copy, backup, temporary, options);
    await rename(temporary, out);
    return manifest;
  } catch (error) {
    if (error instanceof Fault || (error as NodeJS.ErrnoException).code === undefined) throw error;
    throw new Fault('cannot write', `${out}: ${fileReason(error)}, expected a place to write to`);
  } finally {
    await rm(copy, { recursive: true, force: true });
    await rm(temporary, { force: true });
  }
}

async function pack(copy: string, backup: Backup, to: string, options: ArchiveOptions): Promise<Manifest> {
  const run = RunReader.open(nodeDisk, copy);
  try {
    const parts = await partsOf(copy, run, options);
    const { createdMs, name, source } = run.info();
    const manifest: Manifest = {
      format: ARCHIVE_FORMAT,
      program: VERSION,
      run: { id: backup.id, name, source, createdMs },
      last: { number: backup.number, hash: backup.hash },
      problems: backup.problems,
      files: [],
    };
    await writeZip(parts, manifest, to);
    return manifest;
  } finally {
    run.close();
  }
}

async function partsOf(copy: string, run: RunReader, { report, read, pause }: ArchiveOptions): Promise<Part[]> {
  const raw = [...segmentNumbers(nodeDisk.list(copy)).map(segmentName), HEAD_NAME];
  const record = await keptRecordText(run, read, pause);
  const printed = (await report?.(run, copy)) ?? null;
  return [
    ...raw.map((name) => ({ name: `${RAW_FOLDER}${name}`, stream: () => createReadStream(join(copy, name)) })),
    textPart(
      JOURNAL_NAME,
      run
        .journal()
        .map(({ entry }) => `${entry}\n`)
        .join(''),
    ),
    ...run.plans().map(({ text }, i) => textPart(planName(i + 1), text)),
    ...(record === null ? [] : [textPart(RECORD_NAME, record)]),
    ...(printed ? [textPart(REPORT_NAME, printed)] : []),
  ];
}

/** As `analyse` writes it; null where the run has nothing that a record could be made of. */
export async function keptRecordText(
  run: RunReader,
  read: (bytes: number) => void,
  pause?: () => Promise<void>,
): Promise<string | null> {
  try {
    return recordText(await recordOfKeptRun(run, keptPlan(run).job, read, pause));
  } catch (error) {
    if (error instanceof Fault) return null;
    throw error;
  }
}

/** Sums come into the manifest as the files go by; it is written last. */
async function writeZip(parts: readonly Part[], manifest: Manifest, to: string): Promise<void> {
  const zip = new ZipFile();
  const options = ZIP_OPTIONS(manifest.run.createdMs);
  for (const { name, stream } of parts) {
    // What fails to be read fails the sum behind it, and with that the archive.
    zip.addReadStreamLazy(name, options, (use) => {
      use(
        null,
        joined(stream(), summed(name, manifest.files), () => {}),
      );
    });
  }
  zip.addReadStreamLazy(MANIFEST_NAME, options, (use) => {
    use(null, Readable.from([Buffer.from(`${JSON.stringify(manifest, null, 2)}\n`)]));
  });
  const broken = new Promise<never>((_, reject) => zip.once('error', reject));
  zip.end();
  const written = pipeline(zip.outputStream, createWriteStream(to, { flags: 'wx', mode: 0o600 }));
  await Promise.race([written, broken]);
  const file = await open(to, 'r+');
  try {
    await file.sync();
  } finally {
    await file.close();
  }
}

function summed(name: string, files: Manifest['files']): Transform {
  const sum = createHash('sha256');
  let bytes = 0;
  return new Transform({
    transform(chunk: Buffer, _encoding, done) {
      sum.update(chunk);
      bytes += chunk.length;
      done(null, chunk);
    },
    flush(done) {
      files.push({ name, bytes, sha256: sum.digest('hex') });
      done();
    },
  });
}
