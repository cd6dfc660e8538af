/** What is drawn of the part of a joint that is to be expanded: pieces from the top down, without a hole or an overlap. */
import type { JointState } from '../../src/live/messages.ts';
import type { Joint } from '../../src/plan/job.ts';

export type PieceKind = 'expanded' | 'unproven' | 'gap' | 'not reached';

export interface Piece {
  readonly kind: PieceKind;
  /** Measured depths, m. */
  readonly from: number;
  readonly to: number;
}

type Span = readonly [number, number];

/** Worst wins where the service names a depth twice: expanded is only what nothing else claims. */
export function jointPieces(joint: Joint, state: JointState | null): Piece[] {
  if (joint.requiredM <= 0) return [];
  const gaps = (state?.gaps ?? []).filter((gap) => gap.cause !== 'not reached').map((gap): Span => [gap.from, gap.to]);
  const layers: [PieceKind, readonly Span[]][] = [
    ['unproven', state?.unproven ?? []],
    ['gap', gaps],
    ['expanded', state?.expanded ?? []],
  ];
  const cuts = new Set([joint.from, joint.to]);
  for (const [, spans] of layers) {
    for (const depth of spans.flat()) if (depth > joint.from && depth < joint.to) cuts.add(depth);
  }
  const depths = [...cuts].sort((a, b) => a - b);
  const pieces: Piece[] = [];
  for (let i = 0; i + 1 < depths.length; i++) {
    const from = depths[i]!;
    const to = depths[i + 1]!;
    const middle = (from + to) / 2;
    const kind = layers.find(([, spans]) => spans.some(([a, b]) => a <= middle && middle < b))?.[0] ?? 'not reached';
    const last = pieces[pieces.length - 1];
    if (last && last.kind === kind) pieces[pieces.length - 1] = { kind, from: last.from, to };
    else pieces.push({ kind, from, to });
  }
  return pieces;
}
