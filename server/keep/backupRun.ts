/**
 * A copy of a run while it is recorded: everything up to the record that was the last on the disk when the copying began.
 * The log is copied byte for byte, damaged places with it; the index is rebuilt from the copy.
 */
import { z } from 'zod/mini';
import { Fault } from '../../src/fault.ts';
import { SCENARIOS_BYTES, SCENARIOS_NAME } from '../scenarios/scenarioStore.ts';
import { type Disk, DiskError, readWhole, writeWhole } from './disk.ts';
import { inTurns } from './inTurns.ts';
import { HeadFile, type LogHead, readHead } from './logHead.ts';
import { MOST_SEGMENT_BYTES } from './readLog.ts';
import { isDbTrouble, RUN_DB_NAME, RunDb } from './runDb.ts';
import { rebuildSteps } from './runIndex.ts';
import { readSeal, writeSeal } from './seal.ts';
import { segmentName, segmentNumbers } from './segment.ts';
import { type RunCheck, verifyRun, verifySteps } from './verifyRun.ts';

export const BACKUP_NAME = 'backup.json';
const BACKUP_BYTES = 64 * 1024;

const backupSchema = z.object({
  format: z.literal('jointwise-backup/1'),
  id: z.string(),
  number: z.int(),
  hash: z.string(),
  problems: z.array(z.string()),
});
export type Backup = z.infer<typeof backupSchema>;

function folderFault(error: unknown): unknown {
  return error instanceof DiskError || isDbTrouble(error) ? new Fault('cannot write', error.message) : error;
}

function mustBeFree(disk: Disk, folder: string): void {
  const names = disk.list(folder);
  if (names.length > 0) throw new Fault('cannot write', `${folder}: found ${names[0]} in it, expected nothing`);
}

/**
 * @param from folder of the run @param to a folder that is empty or not there
 * @returns what the copy is: the number of its last record and the chain's hash there
 * @throws Fault
 */
export async function backupRun(disk: Disk, from: string, to: string, id: string): Promise<Backup> {
  mustBeFree(disk, to);
  try {
    const { head } = readHead(disk, from);
    if (head === null) throw new Fault('file unreadable', `${from}: found no head, expected a run`);
    disk.makeFolder(to);
    await copyLog(disk, from, to, head);
    return await finish(disk, to, id, head);
  } catch (error) {
    throw folderFault(error);
  }
}

async function copyLog(disk: Disk, from: string, to: string, head: LogHead): Promise<void> {
  for (const number of segmentNumbers(disk.list(from))) {
    if (number > head.segment) break;
    const bytes = readWhole(disk, `${from}/${segmentName(number)}`, MOST_SEGMENT_BYTES);
    await writeWhole(disk, to, segmentName(number), number === head.segment ? bytes.subarray(0, head.end) : bytes);
  }
  // What people asked of the run goes with it; it is no part of the chain.
  if (disk.list(from).includes(SCENARIOS_NAME))
    await writeWhole(disk, to, SCENARIOS_NAME, readWhole(disk, `${from}/${SCENARIOS_NAME}`, SCENARIOS_BYTES));
  const file = new HeadFile(disk, to);
  try {
    await file.settle(head);
  } finally {
    file.close();
  }
}

async function finish(disk: Disk, to: string, id: string, head: LogHead): Promise<Backup> {
  const db = new RunDb(`${to}/${RUN_DB_NAME}`, 'write');
  try {
    await inTurns(rebuildSteps(disk, to, db));
  } finally {
    db.close();
  }
  await writeSeal(disk, to, head);
  const { hash, lastNumber: number, problems } = await inTurns(verifySteps(disk, to));
  const backup: Backup = { format: 'jointwise-backup/1', id, number, hash, problems: [...problems] };
  await writeWhole(disk, to, BACKUP_NAME, Buffer.from(JSON.stringify(backup)));
  return backup;
}

/** @throws Fault when the folder holds no backup */
export function readBackup(disk: Disk, folder: string): Backup {
  const path = `${folder}/${BACKUP_NAME}`;
  try {
    return backupSchema.parse(JSON.parse(Buffer.from(readWhole(disk, path, BACKUP_BYTES)).toString('utf8')));
  } catch (error) {
    if (error instanceof DiskError || error instanceof SyntaxError || error instanceof z.core.$ZodError) {
      throw new Fault('file unreadable', `${path}: found no whole backup, expected jointwise-backup/1`);
    }
    throw error;
  }
}

/**
 * Puts a backup back as a run. @param to folder of the run: empty or not there
 * @returns what is restored; its hash is that of the backup
 * @throws Fault when the copy is not what was backed up, and nothing is left at `to`
 */
export async function restoreRun(disk: Disk, from: string, to: string): Promise<RunCheck> {
  const backup = readBackup(disk, from);
  if (readSeal(disk, from).kind !== 'whole')
    throw new Fault('file unreadable', `${from}: found no whole seal, expected one`);
  mustBeFree(disk, to);
  try {
    disk.makeFolder(to);
    for (const name of disk.list(from).filter((file) => file !== BACKUP_NAME && !file.startsWith(`${RUN_DB_NAME}-`))) {
      await writeWhole(disk, to, name, readWhole(disk, `${from}/${name}`, Number.MAX_SAFE_INTEGER));
    }
    const check = verifyRun(disk, to);
    if (check.hash === backup.hash && check.problems.join() === backup.problems.join()) return check;
    for (const name of disk.list(to)) disk.remove(`${to}/${name}`);
    const found = check.problems.find((line) => !backup.problems.includes(line)) ?? `hash ${check.hash}`;
    throw new Fault('file unreadable', `${from}: found ${found}, expected what was backed up`);
  } catch (error) {
    throw folderFault(error);
  }
}
