/**
 * A run that a later version of the program wrote is refused before anything of it is read or written: what its records mean
 * is not known here, and to call them damaged would be wrong. Any later format, of the log or of what lies beside it, has
 * another number in the heads of the segments: those alone have a checksum that tells it from a bit that has turned.
 */
import { Fault } from '../../src/fault.ts';
import { type Disk, DiskError } from './disk.ts';
import { laterLog, SEGMENT_HEADER_BYTES, segmentName, segmentNumbers } from './segment.ts';

/** @throws Fault `file unreadable`, in one line */
export function mustBeKnown(disk: Disk, folder: string): void {
  const first = segmentNumbers(disk.list(folder))[0];
  if (first === undefined) return;
  const path = `${folder}/${segmentName(first)}`;
  const later = laterLog(headOf(disk, path));
  if (later === null) return;
  const line = `${path}: found format ${later} of the log, expected 1: a later version of the program wrote it`;
  throw new Fault('file unreadable', line);
}

/** As far as it can be read; what cannot is judged by who reads the run. */
function headOf(disk: Disk, path: string): Buffer {
  const head = Buffer.alloc(SEGMENT_HEADER_BYTES);
  try {
    const file = disk.open(path, 'read');
    try {
      return head.subarray(0, file.read(head, 0));
    } finally {
      file.close();
    }
  } catch (error) {
    if (error instanceof DiskError) return head.subarray(0, 0);
    throw error;
  }
}
