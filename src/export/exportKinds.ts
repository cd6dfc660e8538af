/** The files for others: what each is called, what it is, how it is written. */
import { type DepthChoice, depthLas } from './depthLas.ts';
import type { ExportInput } from './exportInput.ts';
import { samplesCsv } from './samplesCsv.ts';
import { eventsCsv, jointsCsv } from './tableCsv.ts';
import { timeCsv } from './timeCsv.ts';
import { timeLas } from './timeLas.ts';
import { witsmlLog } from './witsmlLog.ts';

export interface ExportKind {
  readonly says: string;
  /** Behind the name of the run. */
  readonly ends: string;
  readonly type: 'text/csv' | 'text/plain' | 'application/xml' | 'application/json';
  /** Text in pieces, some of them empty; nothing of it is kept. @throws Fault `bad option` for a choice that cannot be meant */
  write(input: ExportInput, choice: DepthChoice): Generator<string>;
}

/** As it is: in the plan's own units, to the byte what `analyse` writes. */
function* recordJson({ record }: ExportInput): Generator<string> {
  yield `${JSON.stringify(record, null, 2)}\n`;
}

export const EXPORT_NAMES = [
  'csv',
  'las',
  'las-depth',
  'witsml',
  'record',
  'joints.csv',
  'events.csv',
  'time.csv',
] as const;
export type ExportName = (typeof EXPORT_NAMES)[number];

export const EXPORT_KINDS: Readonly<Record<ExportName, ExportKind>> = {
  csv: { says: 'samples by time, CSV', ends: '-samples.csv', type: 'text/csv', write: samplesCsv },
  las: { says: 'samples by time, LAS 2.0', ends: '-time.las', type: 'text/plain', write: timeLas },
  'las-depth': { says: 'the liner by depth, LAS 2.0', ends: '-depth.las', type: 'text/plain', write: depthLas },
  witsml: { says: 'samples by time, WITSML 1.4.1.1', ends: '-log.xml', type: 'application/xml', write: witsmlLog },
  record: { says: 'the record, jointwise-record/1', ends: '-record.json', type: 'application/json', write: recordJson },
  'joints.csv': { says: 'the joints of the record, CSV', ends: '-joints.csv', type: 'text/csv', write: jointsCsv },
  'events.csv': { says: 'the events of the record, CSV', ends: '-events.csv', type: 'text/csv', write: eventsCsv },
  'time.csv': {
    says: 'the time sheet, every stretch of every day, CSV',
    ends: '-time.csv',
    type: 'text/csv',
    write: timeCsv,
  },
};
