/** The files for others: what each is called, what it is, how it is written. */
import { type DepthChoice, depthLas } from './depthLas.ts';
import type { ExportInput } from './exportInput.ts';
import { EXPORT_NAMES, EXPORT_SAYS, type ExportName } from './exportNames.ts';
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

export { EXPORT_NAMES, type ExportName };

export const EXPORT_KINDS: Readonly<Record<ExportName, ExportKind>> = {
  csv: { says: EXPORT_SAYS.csv, ends: '-samples.csv', type: 'text/csv', write: samplesCsv },
  las: { says: EXPORT_SAYS.las, ends: '-time.las', type: 'text/plain', write: timeLas },
  'las-depth': { says: EXPORT_SAYS['las-depth'], ends: '-depth.las', type: 'text/plain', write: depthLas },
  witsml: { says: EXPORT_SAYS.witsml, ends: '-log.xml', type: 'application/xml', write: witsmlLog },
  record: { says: EXPORT_SAYS.record, ends: '-record.json', type: 'application/json', write: recordJson },
  'joints.csv': { says: EXPORT_SAYS['joints.csv'], ends: '-joints.csv', type: 'text/csv', write: jointsCsv },
  'events.csv': { says: EXPORT_SAYS['events.csv'], ends: '-events.csv', type: 'text/csv', write: eventsCsv },
  'time.csv': {
    says: EXPORT_SAYS['time.csv'],
    ends: '-time.csv',
    type: 'text/csv',
    write: timeCsv,
  },
};
