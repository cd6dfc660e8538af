/** What every sheet of a document bears: whose it is, which page of how many, what it must not be taken for. */
import { cutText } from './fitText.ts';
import { line, type Pen, text } from './pen.ts';
import type { Mark, Sheet } from './sheet.ts';

export interface Furniture {
  /** Above, left and right. */
  readonly of: string;
  readonly what: string;
  /** Below: left of the page number, and a line below it. */
  readonly foot: string;
  readonly caution: string;
}

const SIZE = 7;

export const pageWords = (page: number, pages: number): string => `Page ${page} of ${pages}`;

/** The sheets with head and foot, numbered from 1. */
export function withFurniture(pen: Pen, sheets: readonly Sheet[], said: Furniture): Sheet[] {
  const { left, right, top, bottom, width, height } = pen.paper;
  const edge = width - right;
  const room = edge - left;
  const head = top - 22;
  const foot = height - bottom + 18;
  return sheets.map((sheet, i) => {
    const soft = { size: SIZE, tone: 'soft' as const };
    const page = text(pen, edge, foot, pageWords(i + 1, sheets.length), { size: SIZE, bold: true, anchor: 'end' });
    const marks: Mark[] = [
      text(pen, left, head, cutText(pen.measure, said.of, SIZE, true, room * 0.68), { size: SIZE, bold: true }),
      text(pen, edge, head, said.what, { ...soft, anchor: 'end' }),
      line([left, head + 4, edge, head + 4], 'faint', 0.5),
      line([left, foot - SIZE - 4, edge, foot - SIZE - 4], 'faint', 0.5),
      text(pen, left, foot, cutText(pen.measure, said.foot, SIZE, false, room - page.width - 12), soft),
      page,
      text(pen, left, foot + SIZE * 1.4, cutText(pen.measure, said.caution, SIZE - 0.8, false, room), {
        size: SIZE - 0.8,
        tone: 'soft',
      }),
    ];
    return { ...sheet, marks: [...sheet.marks, ...marks] };
  });
}
