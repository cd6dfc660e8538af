/** One measured figure beside its goal, and the table that they are printed as. */

/** What a figure is in: `×` is a ratio, ours over what stands beside it. */
export type BenchUnit = '×' | 'ms' | 'MB' | 'kB' | 'MB/h' | 'requests';

export interface BenchLine {
  readonly what: string;
  /** Our figure in words with its unit, and what stands beside it; empty where nothing does. */
  readonly ours: string;
  readonly beside: string;
  /** The figure that the goal is about; the goal is met when it is no greater. */
  readonly found: number;
  readonly unit: BenchUnit;
  /** Null: measured for its own sake. */
  readonly goal: number | null;
  /** How it was measured, and what the figure does not say. */
  readonly note?: string;
}

const HEAD = ['what', 'ours', 'beside', 'found', 'goal', ''] as const;

export const isMet = ({ found, goal }: BenchLine): boolean => goal === null || found <= goal;

export const inMs = (ms: number): string => `${ms >= 100 ? ms.toFixed(0) : ms.toFixed(2)} ms`;
export const inMb = (bytes: number): string => `${(bytes / 1e6).toFixed(1)} MB`;

function decimals(unit: BenchUnit): number {
  if (unit === 'requests') return 0;
  return unit === '×' || unit === 'MB/h' ? 3 : 1;
}

const figure = (value: number, unit: BenchUnit): string =>
  unit === '×' ? `${value.toFixed(decimals(unit))}×` : `${value.toFixed(decimals(unit))} ${unit}`;

function cells(line: BenchLine): string[] {
  const goal = line.goal === null ? '–' : `≤ ${line.goal}${line.unit === '×' ? '×' : ` ${line.unit}`}`;
  const verdict = line.goal === null ? '' : isMet(line) ? 'met' : 'NOT MET';
  return [line.what, line.ours, line.beside, figure(line.found, line.unit), goal, verdict];
}

/** Aligned columns, a note below the line that it belongs to. */
export function benchTable(lines: readonly BenchLine[]): string {
  const rows = [[...HEAD], ...lines.map(cells)];
  const widths = HEAD.map((_, column) => Math.max(...rows.map((row) => row[column]!.length)));
  const text = (row: readonly string[]) =>
    row
      .map((cell, i) => cell.padEnd(widths[i]!))
      .join('  ')
      .trimEnd();
  const out = [text(rows[0]!)];
  for (const [i, line] of lines.entries()) {
    out.push(text(rows[i + 1]!));
    if (line.note) out.push(`    ${line.note}`);
  }
  return `${out.join('\n')}\n`;
}
