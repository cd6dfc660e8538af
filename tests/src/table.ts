/**
 * Scenario tables: aligned text that a person of the trade can read. The first line names the columns; those before the bar
 * are numbers (`-` for not read), those after it are expectations (text, two spaces or more between them); `//` starts a remark.
 */
export interface TableRow {
  readonly line: number;
  readonly given: Readonly<Record<string, number>>;
  readonly wanted: Readonly<Record<string, string>>;
}

const NOT_READ = '-';

function numberOf(cell: string, line: number): number {
  if (cell === NOT_READ) return Number.NaN;
  const value = Number(cell);
  if (Number.isNaN(value)) throw new Error(`line ${line} of the table: "${cell}" is no number`);
  return value;
}

const byColumn = <T>(names: readonly string[], cells: readonly T[], line: number): Record<string, T> => {
  if (cells.length !== names.length) {
    throw new Error(`line ${line} of the table: ${cells.length} cells for the columns ${names.join(' ')}`);
  }
  return Object.fromEntries(names.map((name, i) => [name, cells[i]!]));
};

export function readTable(text: string): TableRow[] {
  const lines = text
    .split('\n')
    .map((line) => line.replace(/\/\/.*$/, '').trim())
    .filter((line) => line !== '');
  const [head, ...body] = lines;
  if (head === undefined) throw new Error('an empty table');
  const [givenHead, wantedHead] = halves(head, 0);
  const givenNames = givenHead.split(/\s+/);
  const wantedNames = wantedHead.split(/\s{2,}/);
  return body.map((line, i) => {
    const [left, right] = halves(line, i + 1);
    const given = left.split(/\s+/).map((cell) => numberOf(cell, i + 1));
    return {
      line: i + 1,
      given: byColumn(givenNames, given, i + 1),
      wanted: byColumn(wantedNames, right.split(/\s{2,}/), i + 1),
    };
  });
}

function halves(line: string, number: number): [string, string] {
  const parts = line.split('|').map((part) => part.trim());
  if (parts.length !== 2) throw new Error(`line ${number} of the table: expected one bar`);
  return [parts[0]!, parts[1]!];
}
