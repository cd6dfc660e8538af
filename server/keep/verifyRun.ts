/** Walks a run and says what is whole and what is not; changes nothing. */
import { textDifferences } from './differences.ts';
import { type Disk, DiskError } from './disk.ts';
import { atOnce } from './inTurns.ts';
import { mustBeKnown } from './knownFormat.ts';
import { type LogHead, readHead } from './logHead.ts';
import type { PlacedRecord } from './rawRecord.ts';
import { type Damage, readLog, readSegmentHeader } from './readLog.ts';
import { isDbTrouble, type JournalRow, type PlanRow, RUN_DB_NAME, RunDb } from './runDb.ts';
import { indexHead, planHash, readMark } from './runIndex.ts';
import { againstSeal, readSeal } from './seal.ts';
import { segmentName, segmentNumbers } from './segment.ts';

export interface SegmentCheck {
  readonly name: string;
  records: number;
  bytes: number;
  damages: number;
}

/** Records that are not there, or were not recorded. Times by our clock, null where nothing is known. */
export interface Hole {
  readonly afterNumber: number | null;
  readonly beforeNumber: number | null;
  readonly fromMs: number | null;
  readonly toMs: number | null;
  readonly why: string;
}

export interface RunCheck {
  /** Nothing is wrong with it. Holes that were marked while recording are no damage. */
  readonly whole: boolean;
  readonly records: number;
  readonly lastNumber: number;
  /** The chain's hash at the last record, hex: two copies of a run that agree here agree in all before. */
  readonly hash: string;
  readonly sealed: boolean;
  readonly segments: readonly SegmentCheck[];
  readonly holes: readonly Hole[];
  readonly journalRows: number;
  readonly plans: number;
  readonly indexPoints: number;
  /** One line each. */
  readonly problems: readonly string[];
}

interface Walk {
  readonly segments: Map<number, SegmentCheck>;
  readonly holes: Hole[];
  readonly problems: string[];
  /** Texts of the journal and of plans by record, and hashes and places of those that the index names. */
  readonly texts: Map<number, string>;
  readonly places: Map<number, { segment: number; at: number; hash: string }>;
  records: number;
  journal: number;
  last: PlacedRecord | null;
}

/** A record takes a few µs to check. */
const RECORDS_A_STEP = 256;

const hex = (bytes: Uint8Array): string => Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length).toString('hex');

/**
 * @param folder of the run; it may be being recorded: then what is behind its head is not looked at
 * @throws DiskError when the folder cannot be listed, Fault for a run that a later version wrote
 */
export function verifyRun(disk: Disk, folder: string): RunCheck {
  return atOnce(verifySteps(disk, folder));
}

/** The same for whoever has other things to do: a step takes a few ms. */
export function* verifySteps(disk: Disk, folder: string): Generator<void, RunCheck, undefined> {
  mustBeKnown(disk, folder);
  const { head, damaged } = readHead(disk, folder);
  const seal = readSeal(disk, folder);
  const db = openIndex(folder);
  const walk = yield* walkLog(disk, folder, head, typeof db === 'string' ? null : db);
  walk.problems.push(...damaged);
  checkEnd(walk, head);
  const index = typeof db === 'string' ? { problems: [db], journal: 0, plans: 0, points: 0 } : checkIndex(db, walk);
  walk.problems.push(...index.problems);
  if (seal.kind === 'damaged') walk.problems.push(seal.line);
  if (seal.kind === 'whole') walk.problems.push(...(yield* sealProblems(disk, folder, seal.seal)));
  return {
    whole: walk.problems.length === 0,
    records: walk.records,
    lastNumber: walk.last?.number ?? 0,
    hash: walk.last ? hex(walk.last.hash) : '',
    sealed: seal.kind === 'whole',
    segments: [...walk.segments.values()],
    holes: walk.holes,
    journalRows: index.journal,
    plans: index.plans,
    indexPoints: index.points,
    problems: walk.problems,
  };
}

function openIndex(folder: string): RunDb | string {
  try {
    return new RunDb(`${folder}/${RUN_DB_NAME}`, 'read');
  } catch (error) {
    if (isDbTrouble(error)) return `${RUN_DB_NAME}: ${error.message}`;
    throw error;
  }
}

function* sealProblems(
  disk: Disk,
  folder: string,
  seal: Parameters<typeof againstSeal>[2],
): Generator<void, string[], undefined> {
  try {
    return yield* againstSeal(disk, folder, seal);
  } catch (error) {
    if (error instanceof DiskError) return [error.message];
    throw error;
  }
}

function* walkLog(
  disk: Disk,
  folder: string,
  head: LogHead | null,
  db: RunDb | null,
): Generator<void, Walk, undefined> {
  const walk: Walk = {
    segments: new Map(),
    holes: [],
    problems: [],
    texts: new Map(),
    places: new Map(),
    records: 0,
    journal: 0,
    last: null,
  };
  for (const number of segmentNumbers(disk.list(folder))) segmentOf(walk, number);
  const named = indexedNumbers(db);
  const end = head !== null && headIsReached(disk, folder, head) ? { through: head.number } : {};
  for (const item of readLog(disk, folder, { ...end, ...(head ? { key: head.key } : {}) })) {
    if (item.kind === 'damage') damage(walk, item.damage);
    else take(walk, item.record, named);
    if (walk.records % RECORDS_A_STEP === 0) yield;
  }
  return walk;
}

/** What is behind the head of a log that is being recorded is being written; where the head is not reached, all is read. */
function headIsReached(disk: Disk, folder: string, head: LogHead): boolean {
  const last = segmentNumbers(disk.list(folder)).at(-1) ?? 0;
  return last > head.segment || (last === head.segment && readSegmentHeader(disk, folder, last) !== null);
}

function indexedNumbers(db: RunDb | null): ReadonlySet<number> {
  try {
    return new Set(db?.points().rows.map(({ number }) => number));
  } catch (error) {
    // Told when the index itself is checked.
    if (isDbTrouble(error)) return new Set();
    throw error;
  }
}

function segmentOf(walk: Walk, number: number): SegmentCheck {
  const known = walk.segments.get(number);
  if (known) return known;
  const made: SegmentCheck = { name: segmentName(number), records: 0, bytes: 0, damages: 0 };
  walk.segments.set(number, made);
  return made;
}

function damage(walk: Walk, { segment, line, afterNumber, beforeNumber, fromMs, toMs }: Damage): void {
  walk.problems.push(line);
  segmentOf(walk, segment).damages++;
  const nothingMissing = beforeNumber !== null && afterNumber !== null && beforeNumber === afterNumber + 1;
  if (!nothingMissing) walk.holes.push({ afterNumber, beforeNumber, fromMs, toMs, why: line });
}

function take(walk: Walk, record: PlacedRecord, named: ReadonlySet<number>): void {
  const { number, kind, bytes, segment, at, end } = record;
  walk.records++;
  walk.last = record;
  const check = segmentOf(walk, segment);
  check.records++;
  check.bytes += end - at;
  if (named.has(number)) walk.places.set(number, { segment, at, hash: hex(record.hash) });
  if (kind === 'journal' || kind === 'plan') walk.texts.set(number, Buffer.from(bytes).toString('utf8'));
  if (kind === 'journal') walk.journal++;
  if (kind !== 'mark') return;
  const mark = readMark(bytes);
  if (mark?.mark !== 'hole') return;
  const why = `not recorded: ${mark.reason}, ${mark.records} records`;
  walk.holes.push({ afterNumber: number - 1, beforeNumber: number, fromMs: mark.fromMs, toMs: mark.toMs, why });
}

function checkEnd(walk: Walk, head: LogHead | null): void {
  const { last, problems, holes } = walk;
  const number = last?.number ?? 0;
  if (head === null) {
    if (number > 0) problems.push('head: found nothing, expected the place of the last record');
  } else if (number < head.number) lost(walk, number, head);
  else if (last && number === head.number && Buffer.compare(last.hash, head.hash) !== 0) {
    problems.push(`record ${number} is not the one that was written: its hash is not that of the head`);
  }
  if (last === null && holes.length === 0 && head === null) problems.push('raw log: found no record');
}

const LOST = 'its tail is lost';

function lost(walk: Walk, number: number, to: { readonly number: number; readonly arrivalMs: number }): void {
  const why = `the log ends with record ${number}, expected ${to.number}: ${LOST}`;
  walk.problems.push(why);
  const fromMs = walk.last?.arrivalMs ?? null;
  walk.holes.push({ afterNumber: number, beforeNumber: null, fromMs, toMs: to.arrivalMs, why });
}

interface IndexCheck {
  readonly problems: string[];
  readonly journal: number;
  readonly plans: number;
  readonly points: number;
}

function checkIndex(db: RunDb, walk: Walk): IndexCheck {
  try {
    const points = db.points();
    const journal = db.journal();
    const plans = db.plans();
    const changed = [
      ...journal.spoilt.flatMap((row) => changedLines('journal row', row, walk)),
      ...plans.spoilt.flatMap((row) => changedLines('plan', row, walk)),
    ];
    const problems = [...db.problems(), ...changed, ...againstLog(points.rows, journal.rows, plans.rows, walk)];
    const known = indexHead(db);
    if (known && known.number > (walk.last?.number ?? 0) && !walk.problems.some((line) => line.includes(LOST))) {
      lost(walk, walk.last?.number ?? 0, known);
    }
    return { problems, journal: journal.rows.length, plans: plans.rows.length, points: points.rows.length };
  } catch (error) {
    if (!isDbTrouble(error)) throw error;
    return { problems: [`${RUN_DB_NAME}: ${error.message}`], journal: 0, plans: 0, points: 0 };
  } finally {
    db.close();
  }
}

/** Place by place, what a row says otherwise than the record of the log that it is of. */
function changedLines(what: string, { number, text }: { number: number; text: string }, { texts }: Walk): string[] {
  const logged = texts.get(number);
  if (logged === undefined) return [];
  return textDifferences(text, logged).map((line) => `${RUN_DB_NAME}, ${what} of record ${number}, ${line}`);
}

function againstLog(
  points: readonly { number: number; segment: number; at: number; hash: Uint8Array }[],
  journal: readonly JournalRow[],
  plans: readonly PlanRow[],
  walk: Walk,
): string[] {
  const problems: string[] = [];
  const last = walk.last?.number ?? 0;
  for (const { number, segment, at, hash } of points) {
    const place = walk.places.get(number);
    if (place && (place.segment !== segment || place.at !== at || place.hash !== hex(hash))) {
      problems.push(`${RUN_DB_NAME}, index of record ${number}: the log has another record there`);
    }
  }
  for (const [what, rows] of [
    ['journal row', journal.map(({ number, entry }) => ({ number, text: entry }))],
    ['plan', plans],
  ] as const) {
    for (const { number, text } of rows) {
      // One whose record is damaged in the log, or behind the place that was read, stands for itself.
      const lines = changedLines(what, { number, text }, walk);
      if (lines.length > 0) problems.push(`${RUN_DB_NAME}, ${what} of record ${number}: the log says otherwise`);
      problems.push(...lines);
      walk.texts.delete(number);
    }
  }
  for (const { number, hash, text } of plans) {
    if (hash !== planHash(text))
      problems.push(`${RUN_DB_NAME}, plan of record ${number}: its hash is not that of its text`);
  }
  for (const number of walk.texts.keys()) {
    if (number <= last) problems.push(`${RUN_DB_NAME}: found no row of record ${number}, expected what the log has`);
  }
  return problems;
}
