/** The header of a CSV table: separator, names, units beside the names or in a row of their own. */
import { cellText } from '../table/cellText.ts';
import { COLUMN_LIMITS, type TableColumn } from '../table/columnMap.ts';
import { channelNamed } from '../table/columnNames.ts';
import { Instants } from '../table/instant.ts';
import { instantOf, type TimeColumns, timeColumns } from '../table/timeColumns.ts';
import { isUnit, saysNoUnit } from '../table/unitSpellings.ts';
import { csvCells, SEPARATORS, type Separator } from './csvCells.ts';

export interface CsvHeader {
  readonly separator: Separator;
  readonly columns: readonly TableColumn[];
  readonly time: TimeColumns;
}

const UNIT_BEHIND = /(?:\(([^()]*)\)|\[([^[\]]*)\]|\{([^{}]*)\})$/;
const UNIT_AFTER = /^(.*\S)[ ,]+(\S+)$/;
const LONGEST_NAME = 200;

/** `name (unit)`, `name [unit]`, `name, unit`: what is no known unit belongs to the name, unless it stands in brackets. */
export function csvColumn(cell: string): TableColumn {
  const text = cellText(cell.slice(0, LONGEST_NAME).trim());
  const behind = UNIT_BEHIND.exec(text);
  const unit = behind?.[1] ?? behind?.[2] ?? behind?.[3];
  const name = text.slice(0, behind?.index).trimEnd();
  if (unit !== undefined && name !== '') {
    // `Hookload (avg)`, `SPM (1)`: the brackets belong to a name that is known with them.
    if ((isUnit(unit) && unit !== '1') || saysNoUnit(unit) || !channelNamed(text)) return { name, unit: unit.trim() };
  }
  const after = UNIT_AFTER.exec(text);
  if (after && !channelNamed(text) && channelNamed(after[1]!) && isUnit(after[2]!)) {
    return { name: after[1]!.replace(/,$/, ''), unit: after[2]! };
  }
  return { name: text, unit: '' };
}

/** The second of two columns of one name is called `name:2`, and so on. */
export function numberedColumns(columns: readonly TableColumn[]): TableColumn[] {
  const seen = new Map<string, number>();
  return columns.map((column) => {
    const count = (seen.get(column.name) ?? 0) + 1;
    seen.set(column.name, count);
    return count === 1 ? column : { ...column, name: `${column.name}:${count}` };
  });
}

/** Empty cells behind the last name are no columns. */
function withoutEmptyEnd(cells: readonly string[]): readonly string[] {
  let length = cells.length;
  while (length > 0 && cells[length - 1]!.trim() === '') length--;
  return cells.slice(0, length);
}

function separatorOf(line: string): Separator | null {
  let best: Separator | null = null;
  let most = 1;
  for (const separator of SEPARATORS) {
    const count = csvCells(line, separator, COLUMN_LIMITS.columns + 2)?.length ?? 0;
    if (count > most) {
      most = count;
      best = separator;
    }
  }
  return best;
}

export type HeaderFound =
  | { readonly kind: 'header'; readonly header: CsvHeader }
  | { readonly kind: 'too many columns' }
  | { readonly kind: 'no header' };

/** Whether a line is the header: two columns or more, one of them called what times are called. */
export function csvHeader(line: string): HeaderFound {
  const separator = separatorOf(line);
  if (separator === null) return { kind: 'no header' };
  const cells = withoutEmptyEnd(csvCells(line, separator, COLUMN_LIMITS.columns + 2) ?? []);
  if (cells.length > COLUMN_LIMITS.columns) return { kind: 'too many columns' };
  if (cells.length < 2) return { kind: 'no header' };
  const columns = numberedColumns(cells.map(csvColumn));
  const time = timeColumns(columns.map(({ name }) => name));
  return time === null ? { kind: 'no header' } : { kind: 'header', header: { separator, columns, time } };
}

const HAS_DIGIT = /\d/;

/** The header with the units of the row below it; null where that row is none of units. */
export function withUnitRow(header: CsvHeader, cells: readonly string[]): CsvHeader | null {
  if (cells.length < header.columns.length) return null;
  const units = header.columns.map((_, i) => cellText(cells[i]!.trim()).replace(/^[([{](.*)[)\]}]$/, '$1'));
  const known = units.filter((unit) => !saysNoUnit(unit) && isUnit(unit) && unit !== '1');
  const numbers = units.filter((unit) => HAS_DIGIT.test(unit) && !isUnit(unit));
  if (known.length === 0 || numbers.length > 0) return null;
  if (!Number.isNaN(instantOf(header.time, cells, new Instants(0)))) return null;
  return {
    ...header,
    columns: header.columns.map((column, i) => (units[i] ? { ...column, unit: units[i]! } : column)),
  };
}
