/** A part of a document as it fills sheet after sheet from the top down. */
import { invariant } from '../fault.ts';
import { wrapText } from './fitText.ts';
import { innerWidth } from './paper.ts';
import { BODY_SIZE, line, type Pen, type TextStyle, text } from './pen.ts';
import type { Mark, Sheet } from './sheet.ts';

export interface Flow {
  readonly pen: Pen;
  readonly part: string;
  readonly key: string;
  readonly title: string;
  readonly done: { readonly marks: Mark[] }[];
  marks: Mark[];
  /** Where the next thing goes, from the top of the paper. */
  y: number;
}

export const LINE_GAP = 1.38;
const TITLE_SIZE = 15;
const TITLE_DROP = 30;
const HEADING_SIZE = 10.5;

/** @param part of the document @param key of its first sheet; those behind it get -2, -3 */
export function startFlow(pen: Pen, part: string, key: string, title = part): Flow {
  const flow: Flow = { pen, part, key, title, done: [], marks: [], y: 0 };
  openSheet(flow);
  return flow;
}

function openSheet(flow: Flow): void {
  const { pen, title, done } = flow;
  const { left, top } = pen.paper;
  const marks: Mark[] = [];
  done.push({ marks });
  flow.marks = marks;
  marks.push(text(pen, left, top + TITLE_SIZE, title, { size: TITLE_SIZE, bold: true }));
  if (done.length > 1) {
    const { width } = marks[0] as { width: number };
    marks.push(text(pen, left + width + 6, top + TITLE_SIZE, '(continued)', { tone: 'soft' }));
  }
  marks.push(line([left, top + 21, pen.paper.width - pen.paper.right, top + 21], 'ink', 0.9));
  flow.y = top + TITLE_DROP;
}

/** Nothing but the title is on the sheet yet. */
export const isAtTop = ({ pen, y }: Flow): boolean => y <= pen.paper.top + TITLE_DROP;

export const newSheet = (flow: Flow): void => openSheet(flow);

/** The sheets so far. */
export function sheetsOf({ pen, part, key, title, done }: Flow): Sheet[] {
  return done.map(({ marks }, i) => ({
    key: i === 0 ? key : `${key}-${i + 1}`,
    part,
    title: i === 0 ? title : `${title} (continued)`,
    width: pen.paper.width,
    height: pen.paper.height,
    marks,
  }));
}

export const roomLeft = ({ pen, y }: Flow): number => pen.paper.height - pen.paper.bottom - y;

/** On the next sheet where `height` does not fit on this one. */
export function needRoom(flow: Flow, height: number): void {
  if (roomLeft(flow) < height) openSheet(flow);
}

export interface Place {
  readonly x: number;
  readonly y: number;
  readonly width: number;
}

/** A place of the whole width; the flow goes on below it. @param height no more than a sheet has */
export function takePlace(flow: Flow, height: number): Place {
  needRoom(flow, height);
  const { paper } = flow.pen;
  invariant(height <= paper.height - paper.top - paper.bottom - TITLE_DROP + 0.01, 'what is placed fits on a sheet');
  const place = { x: paper.left, y: flow.y, width: innerWidth(paper) };
  flow.y += height;
  return place;
}

export function space(flow: Flow, height: number): void {
  flow.y += height;
}

/** @param keep room that what follows needs, so that no heading stands alone at the foot of a sheet */
export function heading(flow: Flow, said: string, keep = 90): void {
  needRoom(flow, 24 + keep);
  flow.y += 10;
  flow.marks.push(text(flow.pen, flow.pen.paper.left, flow.y + HEADING_SIZE, said, { size: HEADING_SIZE, bold: true }));
  flow.y += HEADING_SIZE + 6;
}

export function paragraph(flow: Flow, said: string, style: TextStyle & { readonly indent?: number } = {}): void {
  const { size = BODY_SIZE, bold = false, indent = 0 } = style;
  const { pen } = flow;
  for (const words of said.split('\n')) {
    for (const one of wrapText(pen.measure, words, size, bold, innerWidth(pen.paper) - indent)) {
      needRoom(flow, size * LINE_GAP);
      flow.marks.push(text(pen, pen.paper.left + indent, flow.y + size, one, style));
      flow.y += size * LINE_GAP;
    }
  }
  flow.y += 3;
}
