/** Places for signatures beside one another: what was signed in the program, or a line for ink. */

import { cutText, wrapText } from '../sheet/fitText.ts';
import { type Flow, takePlace } from '../sheet/flow.ts';
import { box, line, text } from '../sheet/pen.ts';
import type { Mark } from '../sheet/sheet.ts';
import type { SignatureState } from '../signing/signatures.ts';
import { brokenWords } from './signaturesPart.ts';

export interface SignaturePlace {
  readonly who: string;
  /** Null: there is none in the program. */
  readonly signature: SignatureState | null;
}

const HEIGHT = 78;
const GUTTER = 10;
const PAD = 6;
const SMALL = 6.4;
const STATE_SIZE = 7.2;
const STATE_LINES = 2;

export function signaturePlaces(flow: Flow, places: readonly SignaturePlace[]): void {
  const at = takePlace(flow, HEIGHT + 8);
  const width = (at.width - GUTTER * (places.length - 1)) / places.length;
  places.forEach((place, i) => {
    flow.marks.push(...placeMarks(flow, place, at.x + i * (width + GUTTER), at.y + 6, width));
  });
}

function placeMarks({ pen }: Flow, { who, signature }: SignaturePlace, x: number, y: number, width: number): Mark[] {
  const left = x + PAD;
  const inner = width - 2 * PAD;
  const soft = { size: SMALL, tone: 'soft' as const };
  const frame = [
    box(x, y, width, HEIGHT, null, ['ink', signature?.holds.kind === 'broken' ? 1.6 : 0.6]),
    text(pen, left, y + 11, who, { size: 8, bold: true }),
  ];
  if (!signature) {
    return [
      ...frame,
      line([left, y + HEIGHT - 20, x + width - PAD, y + HEIGHT - 20], 'ink', 0.6),
      text(pen, left, y + HEIGHT - 10, 'Name, role, rig time, signature', soft),
    ];
  }
  const { by, role, as, rigTime, hash, holds, version } = signature;
  const cut = (said: string, size: number, bold = false): string => cutText(pen.measure, said, size, bold, inner);
  const state = holds.kind === 'holds' ? 'signed, holds' : brokenWords(holds);
  const tone = holds.kind === 'holds' ? 'good' : 'bad';
  const stateLines = wrapText(pen.measure, state, STATE_SIZE, true, inner, STATE_LINES);
  return [
    ...frame,
    text(pen, left, y + 24, cut(`${by}, ${role}${as ? `, ${as}` : ''}`, 9, true), { size: 9, bold: true }),
    text(pen, left, y + 35, cut(`rig time ${rigTime.replace('T', ' ')}, version ${version}`, SMALL), soft),
    text(pen, left, y + 44, cut(`SHA-256 ${hash}`, 5.4), { size: 5.4, tone: 'soft' }),
    ...stateLines.map((said, i) =>
      text(pen, left, y + 57 + i * STATE_SIZE * 1.3, said, { size: STATE_SIZE, bold: true, tone }),
    ),
  ];
}
