/**
 * An archive unpacked into a folder of its own and held against itself: sums against files, the raw log against its chain,
 * journal and plans against the log, the record against what the log says when it is worked through again.
 */
import { mkdirSync } from 'node:fs';
import { Fault } from '../../src/fault.ts';
import { textDifferences } from '../keep/differences.ts';
import { inTurns } from '../keep/inTurns.ts';
import { readHead } from '../keep/logHead.ts';
import { nodeDisk } from '../keep/nodeDisk.ts';
import { RUN_DB_NAME, RunDb } from '../keep/runDb.ts';
import { rebuildSteps } from '../keep/runIndex.ts';
import { RunReader } from '../keep/runReader.ts';
import { writeSeal } from '../keep/seal.ts';
import { segmentNumbers } from '../keep/segment.ts';
import { type RunCheck, verifySteps } from '../keep/verifyRun.ts';
import { parseJson } from '../plan/parseJson.ts';
import { schemaFaults } from '../plan/schemaFaults.ts';
import { VERSION } from '../version.ts';
import {
  ARCHIVE_LIMITS,
  JOURNAL_NAME,
  MANIFEST_NAME,
  type Manifest,
  manifestSchema,
  planName,
  RAW_FOLDER,
  RECORD_NAME,
} from './archiveManifest.ts';
import type { OpenArchive } from './openArchive.ts';
import { keptRecordText } from './writeArchive.ts';

export interface ArchiveCheck {
  readonly manifest: Manifest;
  readonly run: RunCheck;
  /** What is not as it was archived, one line each. */
  readonly problems: readonly string[];
}

/** @throws Fault `file unreadable`, `file too large`, `not json` */
export async function readManifest(archive: OpenArchive): Promise<Manifest> {
  const place = `${archive.file}, ${MANIFEST_NAME}`;
  const value = parseJson(place, (await archive.read(MANIFEST_NAME, ARCHIVE_LIMITS.manifestBytes)).toString('utf8'));
  const parsed = manifestSchema.safeParse(value);
  if (!parsed.success) throw new Fault('file unreadable', `${place}: ${schemaFaults(parsed.error.issues, value)[0]}`);
  return parsed.data;
}

/**
 * @param folder empty or not there: it holds the run afterwards, sealed, as a library holds it
 * @param read told how many bytes of the log have been worked through
 * @param pause waited for now and then, where others have work too
 * @throws Fault where it is no archive, or the folder cannot be written
 */
export async function checkArchive(
  archive: OpenArchive,
  folder: string,
  read: (bytes: number) => void,
  pause?: () => Promise<void>,
): Promise<ArchiveCheck> {
  const manifest = await readManifest(archive);
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  const problems = await againstSums(archive, manifest, folder);
  if (segmentNumbers(nodeDisk.list(folder)).length === 0) {
    throw new Fault('file unreadable', `${archive.file}: found no raw log, expected the archive of a run`);
  }
  await seal(folder);
  const run = await inTurns(verifySteps(nodeDisk, folder));
  problems.push(...againstManifest(run, manifest));
  const reader = RunReader.open(nodeDisk, folder);
  try {
    problems.push(
      ...(await againstLog(archive, reader)),
      ...(await againstRecord(archive, manifest, reader, read, pause)),
    );
  } finally {
    reader.close();
  }
  return { manifest, run, problems };
}

/** Every file is unpacked or read once; the raw log goes to the folder. */
async function againstSums(archive: OpenArchive, manifest: Manifest, folder: string): Promise<string[]> {
  const problems: string[] = [];
  const said = new Map(manifest.files.map((file) => [file.name, file]));
  for (const { name } of archive.files) {
    if (name === MANIFEST_NAME) continue;
    // The names are those of the format (A1): behind `raw/` stands the name of a segment or of the head.
    const path = name.startsWith(RAW_FOLDER) ? `${folder}/${name.slice(RAW_FOLDER.length)}` : null;
    const { bytes, sha256 } = await archive.unpack(name, path, ARCHIVE_LIMITS.bytes);
    const listed = said.get(name);
    if (!listed) problems.push(`${name}: found a file that the manifest does not list`);
    else if (listed.bytes !== bytes) problems.push(`${name}: found ${bytes} bytes, expected ${listed.bytes}`);
    else if (listed.sha256 !== sha256) problems.push(`${name}: found other content than was archived`);
    said.delete(name);
  }
  for (const name of said.keys()) problems.push(`${name}: found nothing, expected what the manifest lists`);
  return problems;
}

/** As a backup is finished: the index is made anew from the log. */
async function seal(folder: string): Promise<void> {
  const db = new RunDb(`${folder}/${RUN_DB_NAME}`, 'write');
  try {
    await inTurns(rebuildSteps(nodeDisk, folder, db));
  } finally {
    db.close();
  }
  const { head } = readHead(nodeDisk, folder);
  if (head) await writeSeal(nodeDisk, folder, head);
}

function againstManifest(run: RunCheck, { last, problems: before }: Manifest): string[] {
  const problems = run.problems.filter((line) => !before.includes(line));
  problems.push(...before.filter((line) => !run.problems.includes(line)).map((line) => `no longer found: ${line}`));
  if (run.lastNumber !== last.number) {
    problems.push(`raw log: found ${run.lastNumber} as its last record, expected ${last.number}`);
  } else if (run.hash !== last.hash) {
    problems.push(`raw log: found the chain ${run.hash} at record ${last.number}, expected ${last.hash}`);
  }
  return problems;
}

async function againstLog(archive: OpenArchive, run: RunReader): Promise<string[]> {
  const problems: string[] = [];
  const journal = run.journal();
  const lines = (await textOf(archive, JOURNAL_NAME, ARCHIVE_LIMITS.journalBytes)).split('\n');
  if (lines.at(-1) === '') lines.pop();
  for (let i = 0; i < Math.max(lines.length, journal.length); i += 1) {
    const place = `${JOURNAL_NAME}, line ${i + 1}`;
    problems.push(...compared(place, lines[i], journal[i]?.entry));
  }
  const plans = run.plans();
  const listed = archive.files.filter(({ name }) => name.startsWith('plans/')).length;
  for (let i = 0; i < Math.max(plans.length, listed); i += 1) {
    const name = planName(i + 1);
    const text = archive.has(name) ? await textOf(archive, name, ARCHIVE_LIMITS.planBytes) : undefined;
    problems.push(...compared(name, text, plans[i]?.text));
  }
  return problems;
}

function compared(place: string, found: string | undefined, logged: string | undefined): string[] {
  if (found === undefined) return [`${place}: found nothing, expected what the log has`];
  if (logged === undefined) return [`${place}: found something, expected nothing: the log has none`];
  return textDifferences(found, logged).map((line) => `${place}, ${line}`);
}

async function textOf(archive: OpenArchive, name: string, most: number): Promise<string> {
  return archive.has(name) ? (await archive.read(name, most)).toString('utf8') : '';
}

/** The record is worked out, never believed. */
async function againstRecord(
  archive: OpenArchive,
  { program }: Manifest,
  run: RunReader,
  read: (bytes: number) => void,
  pause: (() => Promise<void>) | undefined,
): Promise<string[]> {
  const counted = await keptRecordText(run, read, pause);
  const found = archive.has(RECORD_NAME) ? await textOf(archive, RECORD_NAME, ARCHIVE_LIMITS.recordBytes) : undefined;
  if (counted === null && found === undefined) return [];
  const lines = compared(RECORD_NAME, found, counted ?? undefined);
  const other = program === VERSION ? '' : ` (counted by version ${program}, again by ${VERSION})`;
  return lines.map((line) => `${line}${other}`);
}
