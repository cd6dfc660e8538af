/**
 * A caliper log, from LAS 2.0 text or from CSV with its units in the header: depth and one or two diameters.
 *
 * C1 A row is taken whole or refused with one line that says where it stands, what was found and what was expected.
 * C2 A row whose diameter is the null value stays in the log as NaN: the hole there is not known.
 * C3 Depth rises or falls through the whole log; a row that turns back or stands still is refused. Out comes rising depth.
 * C4 The caliper's columns are those named; without a name, those that are called what calipers are called. More than two
 *    of them, or none, is for a person to decide.
 */
import { toInside, UNITS, type UnitName } from '../units.ts';
import { isLasText, linesOf, readLasText } from './lasText.ts';

export const CALIPER_LIMITS = {
  characters: 16 * 1024 * 1024,
  rows: 200_000,
  headerCharacters: 4096,
  cellCharacters: 32,
  /** Refusals that are told one by one; the rest are counted. */
  problems: 20,
  /** Of a found text that is shown in a problem. */
  shownCharacters: 40,
} as const;

/** Outside these a unit or a column is wrong: no liner is expanded in such a hole, no well is that deep. */
export const PLAUSIBLE_DIAMETER_MM = { min: 50, max: 1500 } as const;
export const DEEPEST_M = 15_000;

export interface CaliperLog {
  /** Rising. */
  readonly depthM: readonly number[];
  /** NaN where the log has no value. */
  readonly diameterMm: readonly number[];
  /** The pair of arms across the first; null with one pair. */
  readonly crossDiameterMm: readonly number[] | null;
}

export interface CaliperReading {
  /** Null where nothing usable was found; then a problem says why. */
  readonly log: CaliperLog | null;
  readonly problems: readonly string[];
  readonly refusedRows: number;
  readonly nullRows: number;
}

export interface CaliperOptions {
  /** How the file is to be called in a problem. */
  readonly file: string;
  /** The caliper's columns, where the file does not make them plain. */
  readonly columns?: readonly string[];
  /** Null values of a CSV file, which has no header to name them; LAS names its own. An empty cell is always null. */
  readonly nulls: readonly number[];
}

interface Column {
  readonly name: string;
  readonly unit: string;
}

interface Row {
  readonly line: number;
  readonly cells: readonly string[];
}

/** What both formats come down to. */
interface Sheet {
  readonly columns: readonly Column[];
  readonly columnsLine: number;
  readonly rows: readonly Row[];
  readonly nulls: readonly number[];
}

class Unusable extends Error {}

const UNIT_SPELLINGS: ReadonlyMap<string, UnitName> = new Map([
  ...['m', 'metre', 'metres', 'meter', 'meters'].map((spelling) => [spelling, 'm'] as const),
  ...['f', 'ft', 'feet'].map((spelling) => [spelling, 'ft'] as const),
  ['mm', 'mm'],
  ...['in', 'inch', 'inches'].map((spelling) => [spelling, 'in'] as const),
]);

const CALIPER_NAME = /^(?:cal|cali|caliper|c|c13|c24|diameter)[ _]?[xy12]?$/i;
const DEPTH_NAME = /^(?:dept|depth|md|measured depth)$/i;
const NUMBER = /^[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?$/;
/** Null values are compared as numbers: writers differ in their decimals. */
const NULL_TOLERANCE = 0.005;

const shown = (text: string): string => `"${text.slice(0, CALIPER_LIMITS.shownCharacters)}"`;
const at = (file: string, line: number): string => (line > 0 ? `${file} line ${line}` : file);

function unusable(place: string, found: string, expected: string): never {
  throw new Unusable(`${place}: found ${found}, expected ${expected}`);
}

function unitOf(column: Column, quantity: 'length' | 'diameter', place: string): UnitName {
  const unit = UNIT_SPELLINGS.get(column.unit.toLowerCase());
  if (unit !== undefined && UNITS[unit].quantity === quantity) return unit;
  const expected = quantity === 'length' ? 'm or ft' : 'mm or in';
  return unusable(place, `unit ${shown(column.unit)} of ${column.name}`, expected);
}

function lasSheet(text: string, file: string): Sheet {
  const las = readLasText(text, CALIPER_LIMITS.rows + 1);
  if (!/^2(\.0*)?$/.test(las.version)) unusable(file, `LAS version ${shown(las.version)}`, 'LAS 2.0');
  if (las.curves.length < 2)
    unusable(at(file, las.curvesLine), `${las.curves.length} curves in ~C`, 'depth and a caliper');
  if (las.dataLine === 0) unusable(file, 'no ~A section', 'the rows of the log');
  if (las.nullValue !== '' && !NUMBER.test(las.nullValue)) unusable(file, `NULL ${shown(las.nullValue)}`, 'a number');
  return {
    columns: las.curves.map(({ mnemonic, unit }) => ({ name: mnemonic, unit })),
    columnsLine: las.curvesLine,
    rows: las.rows,
    nulls: las.nullValue === '' ? [] : [Number(las.nullValue)],
  };
}

const cellsOf = (line: string, separator: string): string[] =>
  line.split(separator).map((cell) => {
    const text = cell.trim();
    return text.startsWith('"') ? text.replace(/^"(.*)"$/, '$1') : text;
  });

/** `name (unit)` or `name [unit]`. */
function csvColumn(cell: string): Column {
  const unit = /[([]([^()[\]]*)[)\]]$/.exec(cell);
  return unit === null ? { name: cell, unit: '' } : { name: cell.slice(0, unit.index).trim(), unit: unit[1]!.trim() };
}

function csvSheet(text: string, nulls: readonly number[], file: string): Sheet {
  const lines = linesOf(text).map((line, i) => ({ text: line, line: i + 1 }));
  const [head, ...body] = lines.filter((line) => /^\s*[^\s#]/.test(line.text)).slice(0, CALIPER_LIMITS.rows + 2);
  if (head === undefined) return unusable(file, 'an empty file', 'a log in LAS 2.0 or CSV');
  if (head.text.length > CALIPER_LIMITS.headerCharacters) {
    unusable(at(file, head.line), `${head.text.length} characters`, 'a header with column names and units');
  }
  const separator = [';', '\t'].find((mark) => head.text.includes(mark)) ?? ',';
  return {
    columns: cellsOf(head.text, separator).map(csvColumn),
    columnsLine: head.line,
    rows: body.map((row) => ({ line: row.line, cells: cellsOf(row.text, separator) })),
    nulls,
  };
}

interface Chosen {
  readonly index: number;
  readonly name: string;
  readonly unit: UnitName;
}

function depthColumn(sheet: Sheet, place: string): Chosen {
  const column = sheet.columns[0]!;
  if (!DEPTH_NAME.test(column.name)) unusable(place, `first column ${shown(column.name)}`, 'depth: DEPT, DEPTH or MD');
  return { index: 0, name: column.name, unit: unitOf(column, 'length', place) };
}

/** C4. */
function caliperColumns(sheet: Sheet, named: readonly string[] | undefined, place: string): Chosen[] {
  const wanted = named?.map((name) => name.toLowerCase());
  const isCaliper = (name: string) => wanted?.includes(name.toLowerCase()) ?? CALIPER_NAME.test(name);
  const chosen = sheet.columns
    .map((column, index) => ({ column, index }))
    .filter(({ column }) => isCaliper(column.name));
  if (chosen.length < 1 || chosen.length > 2 || (wanted !== undefined && chosen.length !== wanted.length)) {
    const names = sheet.columns.map((column) => column.name).join(', ');
    const expected = wanted === undefined ? 'one or two caliper columns; name them' : `columns ${named!.join(' and ')}`;
    unusable(place, `${chosen.length} caliper columns among ${shown(names)}`, expected);
  }
  return chosen.map(({ column, index }) => ({ index, name: column.name, unit: unitOf(column, 'diameter', place) }));
}

/** The number of a cell in its inside unit, NaN for a null, or words for what was expected instead. */
function readCell(cell: string, column: Chosen, nulls: readonly number[]): number | string {
  if (cell === '') return Number.NaN;
  if (cell.length > CALIPER_LIMITS.cellCharacters) return 'a number';
  if (!NUMBER.test(cell)) return /^[+-]?\d+,\d+$/.test(cell) ? 'a decimal point, not a comma' : 'a number';
  const value = Number(cell);
  if (nulls.some((none) => Math.abs(value - none) < NULL_TOLERANCE)) return Number.NaN;
  const inside = toInside(value, column.unit);
  if (UNITS[column.unit].quantity === 'length') {
    return inside >= 0 && inside <= DEEPEST_M ? inside : `a depth between 0 and ${DEEPEST_M} m`;
  }
  const { min, max } = PLAUSIBLE_DIAMETER_MM;
  return inside >= min && inside <= max ? inside : `a diameter between ${min} and ${max} mm`;
}

interface Taken {
  readonly line: number;
  readonly values: readonly number[];
}

/** C1: the values of a row in the order of `columns`, or the words for its problem. */
function readRow(row: Row, sheet: Sheet, columns: readonly Chosen[]): Taken | string {
  if (row.cells.length !== sheet.columns.length) {
    return `found ${row.cells.length} values, expected ${sheet.columns.length}`;
  }
  const values: number[] = [];
  for (const column of columns) {
    const cell = row.cells[column.index]!;
    const value = readCell(cell, column, sheet.nulls);
    if (typeof value === 'string') return `found ${shown(cell)} in ${column.name}, expected ${value}`;
    values.push(value);
  }
  if (Number.isNaN(values[0])) return `found ${shown(row.cells[0]!)} in ${columns[0]!.name}, expected a depth`;
  return { line: row.line, values };
}

class Problems {
  readonly told: string[] = [];
  refused = 0;
  readonly #file: string;
  constructor(file: string) {
    this.#file = file;
  }
  refuse(line: number, words: string): void {
    this.refused += 1;
    if (this.told.length < CALIPER_LIMITS.problems) this.told.push(`${at(this.#file, line)}: ${words}`);
  }
  all(): string[] {
    const untold = this.refused - this.told.length;
    return untold > 0 ? [...this.told, `${this.#file}: ${untold} more rows refused`] : this.told;
  }
}

/** C3: the rows whose depth goes on the way of the whole log, rising. */
function inOrder(taken: readonly Taken[], problems: Problems): Taken[] {
  const way = Math.sign((taken.at(-1)?.values[0] ?? 0) - (taken[0]?.values[0] ?? 0)) || 1;
  const kept: Taken[] = [];
  for (const row of taken) {
    const before = kept.at(-1)?.values[0];
    if (before === undefined || (row.values[0]! - before) * way > 0) kept.push(row);
    else problems.refuse(row.line, `found depth ${row.values[0]} m after ${before} m, expected depths in order`);
  }
  return way > 0 ? kept : kept.reverse();
}

function readSheet(sheet: Sheet, options: CaliperOptions, problems: Problems): CaliperLog {
  const place = at(options.file, sheet.columnsLine);
  const columns = [depthColumn(sheet, place), ...caliperColumns(sheet, options.columns, place)];
  if (sheet.rows.length > CALIPER_LIMITS.rows) {
    unusable(options.file, `more than ${CALIPER_LIMITS.rows} rows`, `at most ${CALIPER_LIMITS.rows}`);
  }
  const taken: Taken[] = [];
  for (const row of sheet.rows) {
    const read = readRow(row, sheet, columns);
    if (typeof read === 'string') problems.refuse(row.line, read);
    else taken.push(read);
  }
  const rows = inOrder(taken, problems);
  if (rows.length < 2) unusable(options.file, `${rows.length} usable rows`, 'at least two');
  return {
    depthM: rows.map((row) => row.values[0]!),
    diameterMm: rows.map((row) => row.values[1]!),
    crossDiameterMm: columns.length > 2 ? rows.map((row) => row.values[2]!) : null,
  };
}

/** Reads a log; whatever is wrong with it ends up in `problems`, each one line with its place, what was found and expected. */
export function readCaliperLog(text: string, options: CaliperOptions): CaliperReading {
  const problems = new Problems(options.file);
  try {
    const { characters } = CALIPER_LIMITS;
    if (text.length > characters) unusable(options.file, `${text.length} characters`, `at most ${characters}`);
    const sheet = isLasText(text) ? lasSheet(text, options.file) : csvSheet(text, options.nulls, options.file);
    const log = readSheet(sheet, options, problems);
    const isNull = (i: number) => Number.isNaN(log.diameterMm[i]) || Number.isNaN(log.crossDiameterMm?.[i]);
    const nullRows = log.depthM.filter((_, i) => isNull(i)).length;
    return { log, problems: problems.all(), refusedRows: problems.refused, nullRows };
  } catch (error) {
    if (!(error instanceof Unusable)) throw error;
    return { log: null, problems: [error.message, ...problems.all()], refusedRows: problems.refused, nullRows: 0 };
  }
}
