/** Columns that feed no channel: how many values each had and the text of the last one. Bounded. */
import type { UnknownCode } from '../streamReader.ts';
import { cellText } from './cellText.ts';
import type { ColumnMap } from './columnMap.ts';

export const UNKNOWN_LIMITS = { columns: 500, characters: 64 } as const;

export class UnknownColumns {
  private readonly columns: ColumnMap['unknown'];
  private readonly indices: Int32Array;
  private readonly unlisted: Int32Array;
  private readonly counts: Float64Array;
  private readonly last: string[];

  constructor(columns: ColumnMap['unknown']) {
    this.columns = columns.slice(0, UNKNOWN_LIMITS.columns);
    this.indices = Int32Array.from(this.columns, ({ index }) => index);
    this.unlisted = Int32Array.from(columns.slice(UNKNOWN_LIMITS.columns), ({ index }) => index);
    this.counts = new Float64Array(this.columns.length);
    this.last = this.columns.map(() => '');
  }

  /** @returns values of columns that are beyond those listed. */
  note(cells: readonly string[]): number {
    const { indices, unlisted, counts, last } = this;
    for (let i = 0; i < indices.length; i++) {
      const cell = cells[indices[i]!]!;
      if (cell === '') continue;
      counts[i] = counts[i]! + 1;
      last[i] = cell;
    }
    let beyond = 0;
    for (let i = 0; i < unlisted.length; i++) if (cells[unlisted[i]!] !== '') beyond++;
    return beyond;
  }

  list(): Map<number | string, UnknownCode> {
    const shown = (cell: string) => cellText(cell.trim().slice(0, UNKNOWN_LIMITS.characters));
    return new Map(
      this.columns.map(({ name }, i) => [cellText(name), { count: this.counts[i]!, last: shown(this.last[i]!) }]),
    );
  }
}
