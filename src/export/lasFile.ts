/**
 * A log in LAS 2.0 (Canadian Well Logging Society, update of January 2014), to the letter: ASCII 32 to 126 and CR LF alone,
 * the mnemonics that ~W requires, ~A last with numbers in fixed notation only, in columns of equal width, not wrapped.
 */
import { CAUTION } from '../caution.ts';
import { rowChunks } from './exportInput.ts';

export interface LasLine {
  readonly mnemonic: string;
  readonly unit?: string;
  readonly data?: string;
  readonly description: string;
}

export interface LasColumn {
  readonly mnemonic: string;
  readonly unit: string;
  readonly description: string;
  /** NaN: none. */
  readonly values: ArrayLike<number>;
  text(value: number): string;
}

export interface LasLog {
  /** The first column is the index: never NaN, always rising. */
  readonly columns: readonly LasColumn[];
  readonly rows: number;
  /** Difference of every pair of rows, as the index is written; '0' where they differ. */
  readonly step: string;
  readonly well: string;
  readonly rig: string;
  /** yyyy mm dd, as the standard prefers it. */
  readonly date: string;
  readonly parameters: readonly LasLine[];
}

const LINE_END = '\r\n';
const LABEL_CHARACTERS = 12;
const DATA_CHARACTERS = 32;

/** Letters without their accents; what has no such form is a question mark. */
export function asciiText(text: string): string {
  return text
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .replace(/[^ -~]/gu, (letter) => (/\s/u.test(letter) ? ' ' : '?'))
    .trim();
}

/** The last colon of a line ends its data: a description has none. */
function headerLine({ mnemonic, unit = '', data = '', description }: LasLine): string {
  const label = `${mnemonic}.${unit}`.padEnd(LABEL_CHARACTERS);
  return `${label} ${asciiText(data).padEnd(DATA_CHARACTERS)} : ${asciiText(description).replaceAll(':', ' ')}`;
}

/** Values that mean "none" as is common in such files; the first that no value comes near is taken. */
const NULLS = ['-999.25', '-9999.25', '-9999', '-99999.25', '-999999.25'] as const;
/** Readers compare with a tolerance, 0.01 in ours. */
const NULL_DISTANCE = 0.1;

interface Printed {
  readonly nullText: string;
  readonly widths: readonly number[];
}

/** Looked at between two turns. */
const ROWS_A_TURN = 4096;

/** A pass over all texts: how wide each column is, and which null is free. */
function* printed({ columns, rows }: LasLog): Generator<string, Printed> {
  const free = new Set<string>(NULLS);
  const widths: number[] = [];
  for (const { mnemonic, values, text } of columns) {
    let width = mnemonic.length;
    for (let row = 0; row < rows; row += 1) {
      if (row % ROWS_A_TURN === 0) yield '';
      if (Number.isNaN(values[row])) continue;
      const cell = text(values[row]!);
      width = Math.max(width, cell.length);
      if (cell.startsWith('-9')) dropNear(free, Number(cell));
    }
    widths.push(width);
  }
  const nullText = [...free][0] ?? NULLS[0];
  return { nullText, widths: widths.map((width) => Math.max(width, nullText.length)) };
}

function dropNear(free: Set<string>, value: number): void {
  for (const none of free) if (Math.abs(value - Number(none)) < NULL_DISTANCE) free.delete(none);
}

function wellLines({ columns, rows, step, well, rig, date }: LasLog, nullText: string): LasLine[] {
  const index = columns[0]!;
  const at = (row: number): string => index.text(index.values[row]!);
  const { unit } = index;
  return [
    { mnemonic: 'STRT', unit, data: at(0), description: 'first index' },
    { mnemonic: 'STOP', unit, data: at(rows - 1), description: 'last index' },
    { mnemonic: 'STEP', unit, data: step, description: step === '0' ? 'irregular' : 'step' },
    { mnemonic: 'NULL', data: nullText, description: 'no value' },
    { mnemonic: 'COMP', description: 'company' },
    { mnemonic: 'WELL', data: well, description: 'well' },
    { mnemonic: 'FLD', description: 'field' },
    { mnemonic: 'LOC', description: 'location' },
    { mnemonic: 'PROV', description: 'province' },
    { mnemonic: 'SRVC', description: 'service company' },
    { mnemonic: 'DATE', data: date, description: 'date of the first row, in the time of the rig' },
    { mnemonic: 'UWI', description: 'unique well identifier' },
    { mnemonic: 'RIG', data: rig, description: 'rig' },
  ];
}

function head(log: LasLog, nullText: string): string {
  const curves = log.columns.map(({ mnemonic, unit, description }) => ({ mnemonic, unit, description }));
  const section = (title: string, lines: readonly LasLine[]): string[] => [title, ...lines.map(headerLine)];
  return [
    ...section('~VERSION INFORMATION', [
      { mnemonic: 'VERS', data: '2.0', description: 'CWLS log ASCII standard, version 2.0' },
      { mnemonic: 'WRAP', data: 'NO', description: 'one line a row' },
    ]),
    ...section('~WELL INFORMATION', wellLines(log, nullText)),
    ...section('~CURVE INFORMATION', curves),
    ...section('~PARAMETER INFORMATION', log.parameters),
    '~OTHER INFORMATION',
    asciiText(CAUTION),
    '',
  ].join(LINE_END);
}

/** The names of codes, one a line: `PHASE3.  running in : PHASE 3`. */
export const codeLegend = (mnemonic: string, names: readonly string[]): LasLine[] =>
  names.map((name, i) => ({ mnemonic: `${mnemonic}${i + 1}`, data: name, description: `${mnemonic} ${i + 1}` }));

/** @param log of at least one row */
export function* lasFile(log: LasLog): Generator<string> {
  const { nullText, widths } = yield* printed(log);
  const { columns, rows } = log;
  yield head(log, nullText);
  // The names stand over their columns: anything behind ~A on its line is a remark.
  const names = columns.map(({ mnemonic }, c) => mnemonic.padStart(widths[c]!)).join(' ');
  yield `~A${names.startsWith('  ') ? names.slice(2) : ` ${names}`}${LINE_END}`;
  const cells: string[] = new Array(columns.length).fill('');
  yield* rowChunks(rows, (row) => {
    for (let c = 0; c < columns.length; c += 1) {
      const value = columns[c]!.values[row]!;
      cells[c] = (Number.isNaN(value) ? nullText : columns[c]!.text(value)).padStart(widths[c]!);
    }
    // The standard has no line end behind the last row.
    return `${cells.join(' ')}${row === rows - 1 ? '' : LINE_END}`;
  });
}
