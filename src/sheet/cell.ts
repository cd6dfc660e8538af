/** What stands in a table: its columns and one cell. */
import type { Tone } from './sheet.ts';

export interface Column {
  readonly head: string;
  /** Below the head. */
  readonly unit?: string;
  readonly align?: 'left' | 'right';
  /** Never wrapped, like a number. */
  readonly whole?: true;
}

export interface RichCell {
  readonly text: string;
  readonly bold?: boolean;
  readonly tone?: Tone;
  readonly href?: string | undefined;
}
export type Cell = string | RichCell;

export const cellText = (cell: Cell): string => (typeof cell === 'string' ? cell : cell.text);
