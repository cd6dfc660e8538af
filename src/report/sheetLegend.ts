/** What the fillings and the lines of a drawing are, in words. */
import { box, line, type Pen, text } from '../sheet/pen.ts';
import type { Mark, Tone } from '../sheet/sheet.ts';
import { type DrawnPass, MOST_LANES, OTHER_LINE, PIECES, ROLLING_LINE } from './jointDrawing.ts';

const SIZE = 6.4;
const SWATCH = 11;
const STROKE = 14;

interface Sign {
  readonly width: number;
  readonly mark: (x: number, y: number) => Mark;
  readonly says: string;
}

const swatch = (fill: Parameters<typeof box>[4], says: string): Sign => ({
  width: SWATCH,
  mark: (x, y) => box(x, y - 6, SWATCH, 7, fill, ['ink', 0.4]),
  says,
});
const stroke = (says: string, tone: Tone, width: number, dash: readonly number[]): Sign => ({
  width: STROKE,
  mark: (x, y) => line([x, y - 2, x + STROKE, y - 2], tone, width, dash),
  says,
});

const PIECE_SIGNS = Object.values(PIECES).map(({ fill, says }) => swatch(fill, says));
const windowSign = (version: number | null): Sign =>
  swatch(['hatch', 'faint'], `outside the window${version === null ? '' : ` of plan version ${version}`}`);

function written(pen: Pen, signs: readonly Sign[], x: number, y: number): Mark[] {
  let at = x;
  return signs.flatMap(({ width, mark, says }) => {
    const said = text(pen, at + width + 3, y, says, { size: SIZE, tone: 'soft' });
    const marks = [mark(at, y), said];
    at += width + said.width + 14;
    return marks;
  });
}

/** Of a joint as it is drawn. */
export const pieceLegend = (pen: Pen, x: number, y: number): Mark[] => written(pen, PIECE_SIGNS, x, y);

/** Of a joint with its tracks. @param version of the plan that the windows are of; null: there was one only */
export function trackLegend(
  pen: Pen,
  x: number,
  y: number,
  passes: readonly DrawnPass[],
  version: number | null,
): Mark[] {
  const last = passes.length > MOST_LANES ? ` (arrows: the last ${MOST_LANES})` : '';
  const lines = [
    stroke('rolling', ROLLING_LINE.tone, ROLLING_LINE.width, ROLLING_LINE.dash),
    stroke(`other ways down${last}`, OTHER_LINE.tone, OTHER_LINE.width, OTHER_LINE.dash),
  ];
  return written(pen, [...PIECE_SIGNS, windowSign(version), ...lines], x, y);
}
