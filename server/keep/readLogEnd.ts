/** Finds where the raw log ends without reading all of it. */
import type { Disk } from './disk.ts';
import type { LogHead } from './logHead.ts';
import type { PlacedRecord } from './rawRecord.ts';
import { type Damage, logKey, type ReadFrom, readLog } from './readLog.ts';
import { SEGMENT_HEADER_BYTES, segmentNumbers } from './segment.ts';

/** Where a log ends, seen from its last segments; `key` null when no segment header is whole. */
export interface LogEnd {
  readonly last: PlacedRecord | null;
  readonly damages: readonly Damage[];
  readonly key: Uint8Array | null;
}

/**
 * Reads the last segment, or the last two when the last holds no record. @throws DiskError of the folder
 */
export function readLogEnd(disk: Disk, folder: string, head: LogHead | null): LogEnd {
  const numbers = segmentNumbers(disk.list(folder));
  const key = logKey(disk, folder) ?? head?.key ?? null;
  for (let i = numbers.length - 1; i >= 0; i--) {
    const damages: Damage[] = [];
    let last: PlacedRecord | null = null;
    const from = { segment: numbers[i]!, at: 0 };
    for (const item of readLog(disk, folder, { ...(key ? { key } : {}), from: fromStart(from) })) {
      if (item.kind === 'record') last = item.record;
      else damages.push(item.damage);
    }
    if (last || i === 0) return { last, damages, key };
  }
  return { last: null, damages: [], key };
}

/** A segment from its first record on, its header left unread. */
const fromStart = ({ segment }: ReadFrom): ReadFrom => ({ segment, at: SEGMENT_HEADER_BYTES });
