/** The reader of each format that a stream may come in. */
import { createCsvReader } from '../ingest/csv/csvReader.ts';
import { createLasReader } from '../ingest/las/lasReader.ts';
import { FORMATS, recognise, type StreamFormat } from '../ingest/recognise.ts';
import type { StreamReader } from '../ingest/streamReader.ts';
import { createWitsReader } from '../ingest/wits/witsReader.ts';
import { createWitsmlReader } from '../ingest/witsml/witsmlReader.ts';
import type { Sample } from '../src/channels.ts';
import { Fault } from '../src/fault.ts';
import type { Job } from '../src/plan/job.ts';

export interface ReaderOptions {
  /** The request that is sent where polling is on, so that its echo is no frame. */
  readonly pollPayload?: string;
}

export type ReaderMaker = (
  stream: Job['stream'],
  sink: (sample: Sample) => void,
  options?: ReaderOptions,
) => StreamReader;

export const READERS: Readonly<Record<StreamFormat, ReaderMaker>> = {
  wits0: createWitsReader,
  csv: createCsvReader,
  las: createLasReader,
  witsml: createWitsmlReader,
};

/** @throws Fault `bad option` when `--format` names none that we know. */
export function formatOption(text: string | undefined): StreamFormat | undefined {
  if (text === undefined || FORMATS.includes(text as StreamFormat)) return text as StreamFormat | undefined;
  throw new Fault('bad option', `--format: found "${text}", expected one of ${FORMATS.join(', ')}`);
}

/** By the content of the first bytes. @throws Fault `unknown format`. */
export function formatOf(name: string, head: Uint8Array): StreamFormat {
  const format = recognise(head);
  if (format) return format;
  throw new Fault('unknown format', `${name}: found a format that is not known, expected one of ${FORMATS.join(', ')}`);
}
