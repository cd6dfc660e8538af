/** Named values beside one another: the name small above, the value below it. */
import { wrapText } from './fitText.ts';
import { type Flow, needRoom } from './flow.ts';
import { innerWidth } from './paper.ts';
import { text } from './pen.ts';
import type { Tone } from './sheet.ts';

export interface Pair {
  readonly name: string;
  readonly value: string;
  readonly tone?: Tone;
  readonly href?: string | undefined;
}

const NAME_SIZE = 6.4;
const VALUE_SIZE = 8.6;
const GUTTER = 10;
const MOST_LINES = 8;

export function pairs(flow: Flow, all: readonly Pair[], columns: number): void {
  const { pen } = flow;
  const width = (innerWidth(pen.paper) + GUTTER) / columns;
  for (let i = 0; i < all.length; i += columns) {
    const row = all.slice(i, i + columns);
    const values = row.map(({ value }) => wrapText(pen.measure, value, VALUE_SIZE, true, width - GUTTER, MOST_LINES));
    const height = NAME_SIZE * 1.3 + Math.max(...values.map((lines) => lines.length)) * VALUE_SIZE * 1.25 + 5;
    needRoom(flow, height);
    row.forEach(({ name, tone = 'ink', href }, c) => {
      const x = pen.paper.left + c * width;
      flow.marks.push(text(pen, x, flow.y + NAME_SIZE, name, { size: NAME_SIZE, tone: 'soft' }));
      values[c]!.forEach((said, line) => {
        const y = flow.y + NAME_SIZE * 1.3 + (line + 1) * VALUE_SIZE * 1.22 - 1;
        const style = { size: VALUE_SIZE, bold: true, tone: href && tone === 'ink' ? ('link' as const) : tone, href };
        flow.marks.push(text(pen, x, y, said, style));
      });
    });
    flow.y += height;
  }
}
