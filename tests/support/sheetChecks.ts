/** What is wrong with how a sheet is laid out: text off the paper, text over text. */

import { A4 } from '../../src/sheet/paper.ts';
import type { Measure, Pen } from '../../src/sheet/pen.ts';
import type { Sheet, TextMark } from '../../src/sheet/sheet.ts';

/** About as wide as a narrow sans serif; lets pure tests do without fonts. */
export const measureAbout: Measure = (text, size, bold) => [...text].length * size * (bold ? 0.56 : 0.5);
export const PLAIN_PEN: Pen = { measure: measureAbout, paper: A4 };

interface Extent {
  readonly mark: TextMark;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

const BACK = { start: 0, middle: 0.5, end: 1 } as const;
/** Capitals above the line and what hangs below it, as shares of the size. */
const ABOVE = 0.73;
const BELOW = 0.16;

function extentOf(mark: TextMark): Extent {
  const from = mark.width * BACK[mark.anchor];
  if (mark.turned) {
    const bottom = mark.y + from;
    const left = mark.x - mark.size * ABOVE;
    return { mark, left, right: mark.x + mark.size * BELOW, top: bottom - mark.width, bottom };
  }
  const left = mark.x - from;
  const top = mark.y - mark.size * ABOVE;
  return { mark, left, right: left + mark.width, top, bottom: mark.y + mark.size * BELOW };
}

/** Empty: it can be read. */
export function layoutFaults({ key, marks, width, height }: Sheet): string[] {
  const extents = marks
    .filter((mark) => mark.kind === 'text' && mark.text !== '')
    .map((mark) => extentOf(mark as TextMark));
  const faults = extents
    .filter(({ left, right, top, bottom }) => left < 20 || right > width - 20 || top < 15 || bottom > height - 15)
    .map(({ mark }) => `${key}: "${mark.text}" lies off the margins`);
  extents.sort((a, b) => a.top - b.top);
  extents.forEach((a, i) => {
    for (let j = i + 1; j < extents.length && extents[j]!.top < a.bottom; j += 1) {
      const b = extents[j]!;
      const over = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const down = Math.min(a.bottom, b.bottom) - b.top;
      if (over > 0.3 && down > 0.3) faults.push(`${key}: "${a.mark.text}" lies on "${b.mark.text}"`);
    }
  });
  return faults;
}
