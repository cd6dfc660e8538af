import type { ReaderCounts } from '../../ingest/streamReader.ts';
import { createWitsReader } from '../../ingest/wits/witsReader.ts';
import type { Sample } from '../../src/channels.ts';
import type { Job } from '../../src/plan/job.ts';
import { latin1 } from './decodeAll.ts';

export const STREAM: Job['stream'] = {
  units: 'metric',
  utcOffsetMs: 0,
  nulls: [-999.25, -9999, -8888],
  gapAfterMs: 5000,
  channels: {},
};

export interface Read {
  samples: Sample[];
  counts: ReaderCounts;
}

/** Reads chunks as a recorded stream, or as a live one when each comes with its arrival. */
export function readStream(
  chunks: readonly string[],
  stream: Partial<Job['stream']> = {},
  arrivals: readonly number[] = [],
): Read {
  const samples: Sample[] = [];
  const reader = createWitsReader({ ...STREAM, ...stream }, (sample) => samples.push(sample));
  chunks.forEach((chunk, i) => {
    reader.push(latin1(chunk), arrivals[i] ?? Number.NaN);
  });
  reader.end();
  return { samples, counts: reader.counts };
}

/** A packet of items written as they stand on the line. */
export const packet = (...items: string[]): string => `&&\r\n${items.join('\r\n')}\r\n!!\r\n`;

/** A stamp of a record on 4 March 2031: `at(1, '120000')`. */
export const at = (record: number, time: string, date = '310304'): string[] => {
  const rr = String(record).padStart(2, '0');
  return [`${rr}05${date}`, `${rr}06${time}`];
};

/** Record 1 with a depth. */
export const depth = (time: string, metres: number | string, ...more: string[]): string =>
  packet(...at(1, time), `0108${metres}`, ...more);

/** Times of day of the samples, `HHMMSS`, and any day but 4 March 2031 before them. */
export const times = (read: Read): string[] =>
  read.samples.map(({ sourceMs }) => {
    const iso = new Date(sourceMs).toISOString();
    const time = iso.slice(11, 19).replaceAll(':', '');
    return iso.startsWith('2031-03-04') ? time : `${iso.slice(0, 10)} ${time}`;
  });
