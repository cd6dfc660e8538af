/** A table that goes on over as many sheets as it needs, its head again on each; numbers to the right, words wrapped. */
import { type Cell, type Column, cellText, type RichCell } from './cell.ts';
import { columnWidths } from './columnWidths.ts';
import { wrapText } from './fitText.ts';
import { type Flow, isAtTop, LINE_GAP, needRoom, newSheet, roomLeft } from './flow.ts';
import { innerWidth } from './paper.ts';
import { box, line, type Pen, printable, text } from './pen.ts';

export interface Table {
  readonly columns: readonly Column[];
  readonly rows: readonly (readonly Cell[])[];
  /** Said where there is no row. */
  readonly none: string;
  readonly size?: number;
}

export const TABLE_SIZE = 7.6;
const PAD_X = 3.2;
/** Words behind a number stand off from it. */
const BEHIND_NUMBER = 6;
const PAD_Y = 2.4;
/** A row of so many lines may go on over the end of a sheet, where so many of them are left on it; others stay whole. */
const LONG_ROW = 8;
const FEWEST_LINES = 4;

interface Laid {
  readonly pen: Pen;
  readonly size: number;
  readonly columns: readonly Column[];
  /** Left edges and widths, without the padding. */
  readonly x: readonly number[];
  readonly widths: readonly number[];
  readonly head: readonly (readonly string[])[];
}

export function table(flow: Flow, { columns, rows, none, size = TABLE_SIZE }: Table): void {
  if (rows.length === 0) {
    needRoom(flow, 16);
    flow.marks.push(text(flow.pen, flow.pen.paper.left, flow.y + size, none, { size, tone: 'soft' }));
    flow.y += size * LINE_GAP + 4;
    return;
  }
  const laid = layOut(flow.pen, columns, rows, size);
  const headHeight = heightOf(laid.head, size);
  let isOpen = false;
  const onNextSheet = (): void => {
    if (isOpen) closeBelow(flow);
    newSheet(flow);
    isOpen = false;
  };
  rows.forEach((row, i) => {
    let cells = row.map((cell, c) => linesOf(laid, cell, c));
    for (;;) {
      const room = roomLeft(flow) - (isOpen ? 0 : headHeight);
      const fit = linesWithin(room, cells, size);
      if (fit === 0) {
        onNextSheet();
        continue;
      }
      if (!isOpen) drawHead(flow, laid, headHeight);
      isOpen = true;
      drawRow(
        flow,
        laid,
        row,
        cells.map((lines) => lines.slice(0, fit)),
        i % 2 === 1,
      );
      cells = cells.map((lines) => lines.slice(fit));
      if (cells.every((lines) => lines.length === 0)) return;
      onNextSheet();
    }
  });
  closeBelow(flow);
  flow.y += 6;
}

/** How many lines of a row go on this sheet: all of them, or of a long one those that have room, or none. */
function linesWithin(room: number, cells: readonly (readonly string[])[], size: number): number {
  const all = Math.max(...cells.map((lines) => lines.length));
  if (heightOf(cells, size) <= room) return all;
  const fit = Math.floor((room - 2 * PAD_Y) / (size * LINE_GAP));
  return all >= LONG_ROW && fit >= FEWEST_LINES ? Math.min(fit, all - 1) : 0;
}

function closeBelow({ pen, marks, y }: Flow): void {
  marks.push(line([pen.paper.left, y, edgeOf(pen), y], 'ink', 0.5));
}

/** What it will need, points: its head, each row, and what goes after the last one. */
export function tableHeights(
  pen: Pen,
  { columns, rows, size = TABLE_SIZE }: Table,
): { readonly head: number; readonly rows: readonly number[]; readonly end: number } {
  if (rows.length === 0) return { head: 0, rows: [], end: size * LINE_GAP + 4 };
  const laid = layOut(pen, columns, rows, size);
  const heights = rows.map((row) =>
    heightOf(
      row.map((cell, c) => linesOf(laid, cell, c)),
      size,
    ),
  );
  return { head: heightOf(laid.head, size), rows: heights, end: 6 };
}

const edgeOf = ({ paper }: Pen): number => paper.width - paper.right;

function layOut(pen: Pen, columns: readonly Column[], rows: readonly (readonly Cell[])[], size: number): Laid {
  const before = columns.map(({ align }, c) =>
    align !== 'right' && columns[c - 1]?.align === 'right' ? PAD_X + BEHIND_NUMBER : PAD_X,
  );
  const pads = before.reduce((sum, one) => sum + one + PAD_X, 0);
  const widths = columnWidths(pen.measure, columns, rows, size, innerWidth(pen.paper) - pads);
  const x: number[] = [];
  let at = pen.paper.left;
  widths.forEach((width, c) => {
    x.push(at + before[c]!);
    at += before[c]! + width + PAD_X;
  });
  const head = columns.map((column, c) => {
    const lines = wrapText(pen.measure, column.head, size, true, widths[c]!, 4);
    return column.unit ? [...lines, column.unit] : lines;
  });
  return { pen, size, columns, x, widths, head };
}

function linesOf({ pen, size, columns, widths }: Laid, cell: Cell, c: number): readonly string[] {
  const bold = typeof cell !== 'string' && cell.bold === true;
  const said = cellText(cell);
  if (columns[c]!.align === 'right' || columns[c]!.whole) return [printable(said)];
  return wrapText(pen.measure, said, size, bold, widths[c]!);
}

const heightOf = (cells: readonly (readonly string[])[], size: number): number =>
  Math.max(...cells.map((lines) => lines.length)) * size * LINE_GAP + 2 * PAD_Y;

function drawHead(flow: Flow, { pen, size, columns, x, widths, head }: Laid, height: number): void {
  const { left } = pen.paper;
  const lines = Math.max(...head.map((one) => one.length));
  // Right below the title its own rule is enough.
  if (!isAtTop(flow)) flow.marks.push(line([left, flow.y, edgeOf(pen), flow.y], 'ink', 0.9));
  columns.forEach((column, c) => {
    const right = column.align === 'right';
    head[c]!.forEach((said, i) => {
      const isUnit = column.unit !== undefined && i === head[c]!.length - 1;
      const y = flow.y + PAD_Y + (lines - head[c]!.length + i) * size * LINE_GAP + size;
      const at = right ? x[c]! + widths[c]! : x[c]!;
      const style = { size, bold: !isUnit, tone: isUnit ? ('soft' as const) : ('ink' as const) };
      flow.marks.push(text(pen, at, y, said, { ...style, anchor: right ? 'end' : 'start' }));
    });
  });
  flow.y += height;
  flow.marks.push(line([left, flow.y, edgeOf(pen), flow.y], 'ink', 0.5));
}

function drawRow(
  flow: Flow,
  { pen, size, columns, x, widths }: Laid,
  row: readonly Cell[],
  cells: readonly (readonly string[])[],
  shaded: boolean,
): void {
  const { left } = pen.paper;
  const height = heightOf(cells, size);
  if (shaded) flow.marks.push(box(left, flow.y, innerWidth(pen.paper), height, ['solid', 'tint']));
  row.forEach((cell, c) => {
    const { bold, tone, href }: Omit<RichCell, 'text'> = typeof cell === 'string' ? {} : cell;
    const right = columns[c]!.align === 'right';
    const at = right ? x[c]! + widths[c]! : x[c]!;
    cells[c]!.forEach((said, i) => {
      const y = flow.y + PAD_Y + i * size * LINE_GAP + size;
      flow.marks.push(
        text(pen, at, y, said, {
          size,
          anchor: right ? 'end' : 'start',
          ...(bold ? { bold } : {}),
          tone: tone ?? (href ? 'link' : 'ink'),
          href,
        }),
      );
    });
  });
  flow.y += height;
}
