/** Opens the raw log of a run to go on writing it, after whatever ended the last writing. */
import type { Disk } from './disk.ts';
import { type LogHead, readHead } from './logHead.ts';
import { RawLog } from './rawLog.ts';
import { HASH_BYTES, type PlacedRecord } from './rawRecord.ts';
import { readSegmentHeader } from './readLog.ts';
import { type LogEnd, readLogEnd } from './readLogEnd.ts';
import { SEGMENT_HEADER_BYTES, segmentName, segmentNumbers } from './segment.ts';

/** Bytes of a segment, and of the room that is made ahead of its records. */
export interface LogSizes {
  readonly segmentBytes?: number;
  readonly roomBytes?: number;
}

export interface OpenLogOptions extends LogSizes {
  readonly disk: Disk;
  /** It is there. */
  readonly folder: string;
  readonly nowMs: () => number;
  /** One line for each thing that was found wrong, now or later. */
  readonly report: (line: string) => void;
  /** 16 bytes by chance, for a log that is begun. */
  readonly newKey: () => Uint8Array;
  /** What another witness knows of the log's end. */
  readonly known?: Pick<LogHead, 'number' | 'hash' | 'arrivalMs'> | null;
}

type Start = { readonly head: LogHead; readonly lastAt: number; readonly inSegment: boolean };

/**
 * What was cut short by the end of the last writing is taken away and reported. Records that are known to have been on the
 * disk and are not there any more are reported; their segment is left as it is, and their numbers are not given again.
 * @throws DiskError
 */
export async function openRawLog(options: OpenLogOptions): Promise<RawLog> {
  const { disk, folder, report } = options;
  const { head, damaged } = readHead(disk, folder);
  for (const line of damaged) report(line);
  removeUnborn(options, head);
  const segments = segmentNumbers(disk.list(folder));
  const end = readLogEnd(disk, folder, head);
  const known = newest(options.known ?? null, head);
  const start =
    segments.length === 0 && known === null
      ? begin(options)
      : goOn(options, end, segments.at(-1) ?? 0, known, head?.key ?? null);
  if (start.inSegment) await settle(options, start.head, head);
  const { nowMs, segmentBytes, roomBytes } = options;
  return new RawLog({ disk, folder, report, nowMs, segmentBytes, roomBytes, ...start });
}

type Known = Pick<LogHead, 'number' | 'hash' | 'arrivalMs'> | null;

function newest(a: Known, b: Known): Known {
  const newer = a && b ? (a.number > b.number ? a : b) : (a ?? b);
  return newer && newer.number > 0 ? newer : null;
}

const begin = ({ newKey, nowMs }: OpenLogOptions): Start => ({
  head: {
    number: 0,
    arrivalMs: nowMs(),
    segment: 1,
    end: SEGMENT_HEADER_BYTES,
    key: newKey(),
    hash: new Uint8Array(HASH_BYTES),
  },
  lastAt: 0,
  inSegment: false,
});

/** A last segment that was being made: its header is not whole, and nothing was recorded in it. */
function removeUnborn({ disk, folder, report }: OpenLogOptions, head: LogHead | null): void {
  const last = segmentNumbers(disk.list(folder)).at(-1);
  if (last === undefined || (head !== null && head.segment >= last && head.end > SEGMENT_HEADER_BYTES)) return;
  if (readSegmentHeader(disk, folder, last) !== null) return;
  const file = disk.open(`${folder}/${segmentName(last)}`, 'read');
  const size = file.size();
  file.close();
  // Longer: it held records, and its header was damaged later.
  if (size > SEGMENT_HEADER_BYTES) return;
  report(`${segmentName(last)}: found the beginning of a segment with nothing in it; it is taken away`);
  disk.remove(`${folder}/${segmentName(last)}`);
}

function goOn(
  options: OpenLogOptions,
  { last, damages, key: found }: LogEnd,
  lastSegment: number,
  known: Known,
  headKey: Uint8Array | null,
): Start {
  const { report } = options;
  for (const { line } of damages) report(line);
  const key = found ?? headKey ?? options.newKey();
  const before = last ?? emptySegment(options, lastSegment);
  const number = before?.number ?? 0;
  if (known && known.number > number) {
    report(`the log ends with record ${number}, expected ${known.number}: its tail is lost`);
    return afterLoss(known, key, lastSegment + 1);
  }
  if (known && known.number === number && Buffer.compare(known.hash, before!.hash) !== 0) {
    report(`record ${number} is not the one that was written: the chain breaks`);
  }
  if (!before || !last || last.segment !== lastSegment) return inEmpty(options, before, key, lastSegment);
  const head: LogHead = {
    number,
    arrivalMs: last.arrivalMs,
    segment: last.segment,
    end: last.end,
    key,
    hash: Uint8Array.from(last.hash),
  };
  cutTail(options, head, damages);
  return { head, lastAt: last.at, inSegment: true };
}

type Before = Pick<PlacedRecord, 'number' | 'arrivalMs' | 'hash'>;

/** What a segment without a whole record says of the one before it. */
function emptySegment({ disk, folder, nowMs }: OpenLogOptions, segment: number): Before | null {
  const header = readSegmentHeader(disk, folder, segment);
  return header && { number: header.firstNumber - 1, arrivalMs: nowMs(), hash: header.before };
}

const afterLoss = (known: NonNullable<Known>, key: Uint8Array, segment: number): Start => ({
  head: { ...known, key, segment, end: SEGMENT_HEADER_BYTES },
  lastAt: 0,
  inSegment: false,
});

/**
 * The last segment holds no whole record. It is made again, since its header need not be on the disk though it can be read;
 * one whose header is damaged is left as it is.
 */
function inEmpty(options: OpenLogOptions, before: Before | null, key: Uint8Array, segment: number): Start {
  const from = before ?? { number: 0, arrivalMs: options.nowMs(), hash: new Uint8Array(HASH_BYTES) };
  const head = { ...from, hash: Uint8Array.from(from.hash), key, segment, end: SEGMENT_HEADER_BYTES };
  const whole = readSegmentHeader(options.disk, options.folder, segment) !== null;
  return { head: whole ? head : { ...head, segment: segment + 1 }, lastAt: 0, inSegment: false };
}

/**
 * Whole records behind the head were written, but perhaps never synced: a sync that failed leaves them in the system's cache,
 * which takes them for written. They are written once more and synced, or a power cut would leave a hole before what follows.
 */
async function settle(
  { disk, folder }: OpenLogOptions,
  { segment, end, number }: LogHead,
  head: LogHead | null,
): Promise<void> {
  if (head !== null && head.number === number) return;
  const from = head?.segment === segment ? Math.min(head.end, end) : 0;
  const file = disk.open(`${folder}/${segmentName(segment)}`, 'write');
  try {
    const bytes = new Uint8Array(end - from);
    file.write(bytes.subarray(0, file.read(bytes, from)), from);
    await file.datasync();
    disk.syncFolder(folder);
  } finally {
    file.close();
  }
}

function cutTail(
  { disk, folder, report }: OpenLogOptions,
  { segment, end }: LogHead,
  damages: LogEnd['damages'],
): void {
  const file = disk.open(`${folder}/${segmentName(segment)}`, 'write');
  try {
    const size = file.size();
    if (size <= end) return;
    file.truncate(end);
    const torn = damages.find((damage) => damage.kind === 'tail');
    if (torn) report(`${segmentName(segment)}: ${torn.bytes} bytes behind its last whole record are cut away`);
  } finally {
    file.close();
  }
}
