/** What text is laid out with: how wide it will be, on which paper. */
import type { Paper } from './paper.ts';
import type { BoxMark, LineMark, Pattern, TextMark, Tone } from './sheet.ts';

/** Width of a text on one line, points. */
export type Measure = (text: string, size: number, bold: boolean) => number;

export interface Pen {
  readonly measure: Measure;
  readonly paper: Paper;
}

export interface TextStyle {
  readonly size?: number;
  readonly bold?: boolean;
  readonly tone?: Tone;
  readonly anchor?: TextMark['anchor'];
  readonly turned?: boolean;
  readonly href?: string | undefined;
}

export const BODY_SIZE = 8.5;

/**
 * What would not be seen, or would make others be seen elsewhere: controls, marks that turn the direction of writing, halves of
 * a pair. In a document that is signed each of them shows.
 */
const UNSEEN = /[\p{Cc}\p{Cs}\p{Co}\p{Cn}\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff]/gu;
export const printable = (text: string): string => text.replace(/[\t\n\r]+/g, ' ').replace(UNSEEN, '\ufffd');

export function text(pen: Pen, x: number, y: number, said: string, style: TextStyle = {}): TextMark {
  const { size = BODY_SIZE, bold = false, tone = 'ink', anchor = 'start', turned = false, href } = style;
  const shown = printable(said);
  const width = pen.measure(shown, size, bold);
  return { kind: 'text', x, y, text: shown, size, bold, tone, anchor, width, turned, href };
}

export const line = (
  points: readonly number[],
  tone: Tone = 'ink',
  width = 0.6,
  dash: readonly number[] = [],
): LineMark => ({ kind: 'line', runs: [points], tone, width, dash });

export const runs = (
  points: readonly (readonly number[])[],
  tone: Tone = 'ink',
  width = 0.6,
  dash: readonly number[] = [],
): LineMark => ({ kind: 'line', runs: points, tone, width, dash });

/** A frame, a filling, or both. */
export const box = (
  x: number,
  y: number,
  width: number,
  height: number,
  fill: readonly [Pattern, Tone] | null,
  edge: readonly [Tone, number] | null = null,
): BoxMark => ({
  kind: 'box',
  x,
  y,
  width,
  height,
  fill: fill && { pattern: fill[0], tone: fill[1] },
  edge: edge && { tone: edge[0], width: edge[1] },
});
