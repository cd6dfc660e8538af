/**
 * What would be understood of a recorded stream, before it is imported: worked out from the bytes alone, by the readers
 * that the import itself uses.
 */
import { CHANNELS } from '../src/channels.ts';
import type { Job } from '../src/plan/job.ts';
import { UNITS } from '../src/units.ts';
import { createCsvReader } from './csv/csvReader.ts';
import { createLasReader } from './las/lasReader.ts';
import { recognise, type StreamFormat } from './recognise.ts';
import type { StreamReader } from './streamReader.ts';
import type { TableReader, UnderstoodColumn } from './table/tableIntake.ts';
import { channelMap } from './wits/channelMap.ts';
import { WitsDecoder } from './wits/decoder.ts';
import { codeText, witsItem } from './wits/items.ts';
import { createWitsReader } from './wits/witsReader.ts';
import { createWitsmlReader } from './witsml/witsmlReader.ts';

export interface NotUnderstood {
  /** Name of a column, or an item code of four digits. */
  readonly name: string;
  readonly count: number;
  /** Text of its last value. */
  readonly last: string;
}

export interface Preview {
  /** Null: none that is known. */
  readonly format: StreamFormat | null;
  /** One line: why it cannot be read, or not beyond some place. */
  readonly refusal: string | null;
  readonly columns: readonly UnderstoodColumn[];
  /** Ms since 1970 UTC; null without a sample. */
  readonly firstMs: number | null;
  readonly lastMs: number | null;
  /** Rows or frames that were read. */
  readonly rows: number;
  readonly samples: number;
  /** Samples with a valid value, by channel; only channels that have one. */
  readonly values: Readonly<Record<string, number>>;
  readonly notes: readonly string[];
  /** What was refused, by reason. */
  readonly rejected: Readonly<Record<string, number>>;
  readonly notUnderstood: readonly NotUnderstood[];
}

/** Items of a WITS stream that feed channels, as columns. */
function witsColumns(bytes: Uint8Array, stream: Job['stream']): UnderstoodColumn[] {
  const seen = new Set<number>();
  const decoder = new WitsDecoder(({ codes, count }) => {
    for (let i = 0; i < count; i++) seen.add(codes[i]!);
  });
  decoder.push(bytes);
  decoder.finish();
  return channelMap(stream)
    .items.filter(({ code }) => seen.has(code))
    .map(({ code, channel, unit }) => {
      const name = [codeText(code), witsItem(code)?.short ?? ''].join(' ').trim();
      const unitFrom = stream.channels[codeText(code)]?.unit ? 'map' : 'assumed';
      return { name, unit: UNITS[unit].label, feeds: channel, unitFrom };
    });
}

const TABLE_READERS = { csv: createCsvReader, las: createLasReader, witsml: createWitsmlReader } as const;

/**
 * @param bytes a stream or its first part; a part that ends within a row has one damaged row more.
 * @param format instead of the one that is recognised.
 * @throws Fault 'bad channel map' where a unit does not fit its channel.
 */
export function preview(bytes: Uint8Array, stream: Job['stream'], format?: StreamFormat): Preview {
  const found = format ?? recognise(bytes);
  const span = { firstMs: null as number | null, lastMs: null as number | null };
  const values: Record<string, number> = {};
  const sink = (sample: Parameters<Parameters<typeof createWitsReader>[1]>[0]): void => {
    span.firstMs ??= sample.sourceMs;
    span.lastMs = sample.sourceMs;
    for (const id of Object.keys(CHANNELS) as (keyof typeof CHANNELS)[]) {
      if (!Number.isNaN(sample[id])) values[id] = (values[id] ?? 0) + 1;
    }
  };
  if (found === null) {
    const none = { refusal: 'found a format that is not known', columns: [], rows: 0, samples: 0, values, notes: [] };
    return { format: null, ...none, ...span, rejected: {}, notUnderstood: [] };
  }
  const reader: StreamReader & Partial<TableReader> =
    found === 'wits0' ? createWitsReader(stream, sink) : TABLE_READERS[found](stream, sink);
  reader.push(bytes, Number.NaN);
  reader.end();
  const { frames, samples, rejected, unknownCodes } = reader.counts;
  return {
    format: found,
    refusal: reader.refusal ?? null,
    columns: reader.columns ?? witsColumns(bytes, stream),
    ...span,
    rows: frames,
    samples,
    values,
    notes: reader.notes ?? [],
    rejected,
    notUnderstood: [...unknownCodes].map(([code, { count, last }]) => ({
      name: typeof code === 'number' ? codeText(code) : code,
      count,
      last,
    })),
  };
}
