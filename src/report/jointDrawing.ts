/** A joint drawn to scale: its pipe, what is to be expanded of it and what has been, and every pass as an arrow beside it. */

import type { Joint } from '../plan/job.ts';
import type { JointKind } from '../plan/planSchema.ts';
import type { RecordJoint } from '../record/recordSchema.ts';
import type { Pass } from '../replay/passes.ts';
import { box, line, type Pen, text } from '../sheet/pen.ts';
import type { Mark, Pattern, Tone } from '../sheet/sheet.ts';

export type PieceKind = 'expanded' | 'unproven' | 'gap' | 'not reached';

export interface Piece {
  readonly kind: PieceKind;
  readonly from: number;
  readonly to: number;
}

/** How each is filled, and in words for the legend. */
export const PIECES: Readonly<Record<PieceKind, { readonly fill: readonly [Pattern, Tone]; readonly says: string }>> = {
  expanded: { fill: ['solid', 'done'], says: 'expanded' },
  gap: { fill: ['cross', 'bad'], says: 'gap' },
  unproven: { fill: ['level', 'ink'], says: 'no data' },
  'not reached': { fill: ['solid', 'paper'], says: 'not reached' },
};

/**
 * What has become of the part that is to be expanded, top down, without a hole: expanded is what lies between the gaps.
 * @param from, to of the part, in the units of `gaps`
 */
export function piecesOf(from: number, to: number, gaps: RecordJoint['gaps']): Piece[] {
  const pieces: Piece[] = [];
  const kindOf = { 'no data': 'unproven', 'not reached': 'not reached' } as const;
  let at = from;
  const add = (kind: PieceKind, end: number): void => {
    if (end - at > 1e-9) pieces.push({ kind, from: at, to: end });
    at = Math.max(at, end);
  };
  for (const gap of [...gaps].sort((a, b) => a.from - b.from)) {
    add('expanded', Math.min(gap.from, to));
    add(gap.cause in kindOf ? kindOf[gap.cause as keyof typeof kindOf] : 'gap', Math.min(gap.to, to));
  }
  add('expanded', to);
  return pieces;
}

/** How a kind of joint is drawn where nothing is to be expanded of it. */
const PIPE: Readonly<Record<JointKind, readonly [Pattern, Tone] | null>> = {
  hanger: ['solid', 'soft'],
  isolation: ['solid', 'tint'],
  screen: ['solid', 'tint'],
  blank: null,
  shoe: ['solid', 'soft'],
};

export interface Upright {
  readonly x: number;
  readonly width: number;
  /** Where a depth lies, in the unit of the joint's depths. */
  readonly place: (depth: number) => number;
}

/** @param depths top, bottom and the part to be expanded, in the unit of `place` */
export function jointMarks(
  { x, width, place }: Upright,
  joint: Pick<Joint, 'kind' | 'requiredM'>,
  depths: { readonly top: number; readonly bottom: number; readonly from: number; readonly to: number },
  gaps: RecordJoint['gaps'],
): Mark[] {
  const top = place(depths.top);
  const bottom = place(depths.bottom);
  const marks: Mark[] = [box(x, top, width, bottom - top, PIPE[joint.kind])];
  if (joint.requiredM > 0) {
    for (const piece of piecesOf(depths.from, depths.to, gaps)) {
      const y = place(piece.from);
      marks.push(box(x, y, width, place(piece.to) - y, ['solid', 'paper']));
      marks.push(box(x, y, width, place(piece.to) - y, PIECES[piece.kind].fill, ['ink', 0.3]));
    }
    if (joint.kind === 'isolation') {
      const seal = width * 0.16;
      const y = place(depths.from);
      for (const at of [x - seal, x + width]) marks.push(box(at, y, seal, place(depths.to) - y, ['solid', 'soft']));
    }
  }
  marks.push(box(x, top, width, bottom - top, null, ['ink', 0.8]));
  return marks;
}

/** A way down of a tool, and whether it was rolling. */
export interface DrawnPass extends Pass {
  readonly isRolling: boolean;
}

export const ROLLING_LINE = { tone: 'ink', width: 0.75, dash: [] } as const;
export const OTHER_LINE = { tone: 'soft', width: 0.5, dash: [2, 1.2] } as const;

/** Passes that have room beside each other. */
export const MOST_LANES = 6;

/** Every pass as an arrow from where it began to where it ended, numbered; the last ones where there are more than have room. */
export function passMarks(
  pen: Pen,
  passes: readonly DrawnPass[],
  at: { readonly x: number; readonly width: number; readonly top: number },
  place: (depthM: number) => number,
): Mark[] {
  const first = Math.max(0, passes.length - MOST_LANES);
  const lane = at.width / Math.max(1, Math.min(MOST_LANES, passes.length));
  return passes.slice(first).flatMap(({ depth, isRolling }, i) => {
    const x = at.x + lane * (i + 0.5);
    const from = place(depth[0]!);
    const to = place(depth[depth.length - 1]!);
    const head = Math.min(3, Math.max(1, (to - from) / 2));
    return [
      line([x, from, x, to], 'ink', isRolling ? 1.1 : 0.7, isRolling ? [] : OTHER_LINE.dash),
      line([x - 1.8, to - head, x, to, x + 1.8, to - head], 'ink', 0.9),
      line([x - 1.8, from, x + 1.8, from], 'ink', 0.9),
      text(pen, x, at.top, String(first + i + 1), { size: 6, anchor: 'middle' }),
    ];
  });
}
