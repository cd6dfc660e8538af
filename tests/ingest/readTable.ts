import type { StreamFormat } from '../../ingest/recognise.ts';
import type { ReaderCounts } from '../../ingest/streamReader.ts';
import type { TableReader, UnderstoodColumn } from '../../ingest/table/tableIntake.ts';
import { READERS } from '../../server/readers.ts';
import type { Sample } from '../../src/channels.ts';
import type { Job } from '../../src/plan/job.ts';
import { STREAM } from './readStream.ts';

export interface TableRead {
  readonly samples: Sample[];
  readonly counts: ReaderCounts;
  readonly refusal: string | null;
  readonly notes: readonly string[];
  readonly columns: readonly UnderstoodColumn[];
}

export type TableFormat = Exclude<StreamFormat, 'wits0'>;

/** Reads chunks of bytes, or a text as UTF-8, as a recorded table. */
export function readTable(
  format: TableFormat,
  content: string | readonly Uint8Array[],
  stream: Partial<Job['stream']> = {},
): TableRead {
  const samples: Sample[] = [];
  const reader = READERS[format]({ ...STREAM, ...stream }, (sample) => samples.push(sample)) as TableReader;
  for (const chunk of typeof content === 'string' ? [Buffer.from(content)] : content) reader.push(chunk, Number.NaN);
  reader.end();
  const { counts, columns } = reader;
  return { samples, counts, refusal: reader.refusal ?? null, notes: reader.notes ?? [], columns };
}

/** Bytes in pieces that end at the given places, in any order and of any size. */
export function cutAt(bytes: Uint8Array, places: readonly number[]): Uint8Array[] {
  const ends = [...places.map((place) => place % (bytes.length + 1)), bytes.length].sort((a, b) => a - b);
  return ends.map((end, i) => bytes.subarray(i === 0 ? 0 : ends[i - 1], end));
}
