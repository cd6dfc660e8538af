/** The whole report: its parts in their order, each on sheets of its own, numbered. */
import { CAUTION } from '../caution.ts';
import { withFurniture } from '../sheet/furniture.ts';
import type { Pen } from '../sheet/pen.ts';
import type { Sheet } from '../sheet/sheet.ts';
import { type Content, coverPart } from './coverPart.ts';
import { depthCorrectionsPart } from './depthCorrectionsPart.ts';
import { differencesPart } from './differencesPart.ts';
import { eventsPart } from './eventsPart.ts';
import { type Facts, factsOf } from './facts.ts';
import { jointSheets } from './jointSheet.ts';
import { jointTablePart } from './jointTablePart.ts';
import { limitsPart } from './limitsPart.ts';
import { linerPart } from './linerPart.ts';
import { planPart } from './planPart.ts';
import { pressureTestsPart } from './pressureTestsPart.ts';
import type { ReportInput } from './reportInput.ts';
import { signaturesPart } from './signaturesPart.ts';
import { timePart } from './timePart.ts';
import { verificationPart } from './verificationPart.ts';

type Part = (facts: Facts, pen: Pen) => Iterable<Sheet>;

/** Behind the cover. */
const PARTS: readonly Part[] = [
  planPart,
  limitsPart,
  linerPart,
  pressureTestsPart,
  depthCorrectionsPart,
  jointTablePart,
  jointSheets,
  timePart,
  eventsPart,
  signaturesPart,
  verificationPart,
  differencesPart,
];

/** Gives way after each sheet, so that whoever draws it in the midst of a live run need not hold that up. */
export function* reportSheets(input: ReportInput, pen: Pen): Generator<void, Sheet[]> {
  const facts = factsOf(input);
  const behind: Sheet[] = [];
  for (const part of PARTS) {
    for (const sheet of part(facts, pen)) {
      behind.push(sheet);
      yield;
    }
  }
  // The cover's own sheets are counted first: how many there are does not depend on the numbers in it.
  const covers = coverPart(facts, pen, contentsOf(behind, 1)).length;
  const cover = coverPart(facts, pen, contentsOf(behind, covers + 1));
  return withFurniture(pen, [...cover, ...behind], furnitureOf(facts));
}

/** Each part with the page that its first sheet is. */
function contentsOf(sheets: readonly Sheet[], firstPage: number): Content[] {
  return sheets.flatMap(({ part, key }, i) =>
    sheets[i - 1]?.part === part ? [] : [{ part, key, page: firstPage + i }],
  );
}

export const reportTitle = ({ job, input }: Facts): string =>
  ['Expansion report', job.well, job.rig, input.runName].filter(Boolean).join(', ');

function furnitureOf(facts: Facts): Parameters<typeof withFurniture>[2] {
  const { job, input } = facts;
  return {
    of: [job.well, job.rig, input.runName].filter(Boolean).join(' · '),
    what: 'Expansion report',
    foot: `Record SHA-256 ${input.recordHash.slice(0, 16)}…`,
    caution: CAUTION,
  };
}

/** All of it at once. */
export function drawReport(input: ReportInput, pen: Pen): Sheet[] {
  const drawing = reportSheets(input, pen);
  for (;;) {
    const { done, value } = drawing.next();
    if (done) return value;
  }
}
