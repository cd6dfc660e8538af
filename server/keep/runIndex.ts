/** What of the raw log stands in the index, record by record: the same while recording and when it is rebuilt. */
import { createHash } from 'node:crypto';
import { z } from 'zod/mini';
import type { Disk } from './disk.ts';
import { atOnce } from './inTurns.ts';
import type { LogHead } from './logHead.ts';
import type { PlacedRecord } from './rawRecord.ts';
import { readLog } from './readLog.ts';
import type { IndexPoint, RunDb } from './runDb.ts';

/** One record in so many has its place in the index: ten minutes at 1 Hz. */
export const INDEX_EVERY = 600;

/** What the payload of a `mark` says: who and what the run is, and what happened to its recording. */
export const runMarkSchema = z.discriminatedUnion('mark', [
  z.object({
    mark: z.literal('run'),
    id: z.string(),
    name: z.string(),
    source: z.string(),
    createdMs: z.number(),
  }),
  z.object({ mark: z.literal('name'), name: z.string() }),
  z.object({ mark: z.literal('opened'), by: z.string() }),
  z.object({ mark: z.literal('closed') }),
  z.object({
    mark: z.literal('hole'),
    reason: z.string(),
    fromMs: z.number(),
    toMs: z.number(),
    records: z.number(),
    bytes: z.number(),
  }),
]);
export type RunMark = z.infer<typeof runMarkSchema>;

const NO_BYTES = new Uint8Array(0);
/** Records read between two looks at whether others wait. */
const RECORDS_A_STEP = 256;

const entrySchema = z.object({ at: z.string(), by: z.string(), action: z.string() });

const textOf = (bytes: Uint8Array): string =>
  Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length).toString('utf8');

function parsed<T>(schema: z.ZodMiniType<T>, text: string): T | null {
  try {
    return schema.safeParse(JSON.parse(text)).data ?? null;
  } catch (error) {
    if (error instanceof SyntaxError) return null;
    throw error;
  }
}

/** Null when the payload is no mark that this version knows. */
export const readMark = (bytes: Uint8Array): RunMark | null => parsed(runMarkSchema, textOf(bytes));

export const planHash = (text: string): string => createHash('sha256').update(text).digest('hex');

export const isIndexed = (number: number): boolean => number % INDEX_EVERY === 1;

type Indexed = Pick<PlacedRecord, 'number' | 'arrivalMs' | 'kind' | 'bytes' | 'segment' | 'at'> & {
  /** Needed of those that `isIndexed`. */
  readonly hash: Uint8Array | null;
};

/** Adds to the index what it holds of a record, often nothing. @throws what SQLite says */
export function indexRecord(db: RunDb, { number, arrivalMs, kind, bytes, segment, at, hash }: Indexed): void {
  if (isIndexed(number) && hash) db.addPoint({ number, arrivalMs, segment, at, hash: Uint8Array.from(hash) });
  if (kind === 'bytes' || kind === 'link') return;
  const text = textOf(bytes);
  if (kind === 'plan') db.addPlan({ number, arrivalMs, hash: planHash(text), text });
  else if (kind === 'journal') {
    const entry = parsed(entrySchema, text) ?? { at: '', by: '', action: '' };
    db.addJournal({ number, arrivalMs, who: entry.by, stated: entry.at, action: entry.action, entry: text });
  } else indexMark(db, readMark(bytes));
}

function indexMark(db: RunDb, mark: RunMark | null): void {
  if (mark?.mark === 'run') {
    for (const name of ['id', 'name', 'source'] as const) db.setMeta(name, mark[name]);
    db.setMeta('createdMs', String(mark.createdMs));
  } else if (mark?.mark === 'name') db.setMeta('name', mark.name);
}

/** The last record of a log that was closed, or of which the index heard. */
export function setIndexHead(
  db: RunDb,
  { number, arrivalMs, hash }: Pick<LogHead, 'number' | 'arrivalMs' | 'hash'>,
): void {
  db.setMeta('head', `${number} ${arrivalMs} ${Buffer.from(hash).toString('hex')}`);
}

/** The furthest that the index knows the log to have reached. */
export function indexHead(db: RunDb): Pick<IndexPoint, 'number' | 'arrivalMs' | 'hash'> | null {
  const [number, arrivalMs, hash] = db.meta().values.get('head')?.split(' ') ?? [];
  const closed = hash ? { number: Number(number), arrivalMs: Number(arrivalMs), hash: Buffer.from(hash, 'hex') } : null;
  const point = db.pointAt(Number.MAX_SAFE_INTEGER);
  return point && (!closed || point.number > closed.number) ? point : closed;
}

/**
 * Adds what a crash kept from the index: from its last point on, or from the start.
 * @throws DiskError; what SQLite says
 */
export function catchUpIndex(disk: Disk, folder: string, db: RunDb): void {
  const point = db.pointAt(Number.MAX_SAFE_INTEGER);
  const journalled = db.lastJournalNumber();
  db.together(() => {
    for (const item of readLog(disk, folder, point ? { from: point } : {})) {
      if (item.kind !== 'record') continue;
      if (item.record.kind === 'journal' && item.record.number <= journalled) continue;
      indexRecord(db, item.record);
    }
  });
}

/**
 * Fills an empty index from the raw log. @param through the last record to take
 * @throws DiskError; what SQLite says
 */
export function rebuildIndex(disk: Disk, folder: string, db: RunDb, through = Infinity): void {
  atOnce(rebuildSteps(disk, folder, db, through));
}

/** The same for whoever has other things to do. What it holds of a log is little: it is written at the end, at once. */
export function* rebuildSteps(
  disk: Disk,
  folder: string,
  db: RunDb,
  through = Infinity,
): Generator<void, void, undefined> {
  const held: Indexed[] = [];
  let last: Pick<LogHead, 'number' | 'arrivalMs' | 'hash'> | null = null;
  let records = 0;
  for (const item of readLog(disk, folder, { through })) {
    if (item.kind !== 'record') continue;
    const { number, arrivalMs, kind, hash, bytes, segment, at } = item.record;
    last = { number, arrivalMs, hash: Uint8Array.from(hash) };
    const isText = kind !== 'bytes' && kind !== 'link';
    if (isText || isIndexed(number)) {
      held.push({
        number,
        arrivalMs,
        kind,
        segment,
        at,
        hash: last.hash,
        bytes: isText ? Uint8Array.from(bytes) : NO_BYTES,
      });
    }
    records++;
    if (records % RECORDS_A_STEP === 0) yield;
  }
  db.together(() => {
    for (const record of held) indexRecord(db, record);
    if (last) setIndexHead(db, last);
  });
}
