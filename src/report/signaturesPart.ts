/** Who signed what, whether it still holds, and room for names in ink. */
import { type Flow, heading, paragraph, sheetsOf, startFlow, takePlace } from '../sheet/flow.ts';
import { line, type Pen, text } from '../sheet/pen.ts';
import type { Sheet } from '../sheet/sheet.ts';
import { table } from '../sheet/table.ts';
import type { Facts } from './facts.ts';
import { SIGNATURES } from './parts.ts';
import type { ReportSignature } from './reportInput.ts';

export function signaturesPart(facts: Facts, pen: Pen): Sheet[] {
  const flow = startFlow(pen, SIGNATURES, 'signatures');
  const { signatures = [], recordHash } = facts.input;
  paragraph(flow, 'SHA-256 of the record of this run, as it is written in a file, in the units of its plan:');
  paragraph(flow, recordHash, { size: 8, bold: true, indent: 10 });
  paragraph(
    flow,
    'Whoever holds the record can work it out again and compare. A change of the run behind a signature makes another hash: ' +
      'that signature is then broken, and stands here as broken.',
    { size: 7.6, tone: 'soft' },
  );
  heading(flow, 'Signed in the program');
  table(flow, {
    columns: [
      { head: 'What' },
      { head: 'Version', align: 'right' },
      { head: 'By' },
      { head: 'Role' },
      { head: 'UTC' },
      { head: 'Rig time' },
      { head: 'Holds' },
      { head: 'SHA-256 of what was signed' },
    ],
    rows: signatures.map(({ subject, of, version, by, role, atUtc, rigTime, holds, hash }) => [
      of ? `${subject}: ${of}` : subject,
      String(version),
      by,
      role,
      atUtc.replace('T', ' ').replace('Z', ''),
      rigTime,
      holds.kind === 'holds'
        ? { text: 'holds', bold: true, tone: 'good' }
        : { text: brokenWords(holds), bold: true, tone: 'bad' },
      hash,
    ]),
    none: 'Nothing has been signed in the program.',
    size: 7,
  });
  heading(flow, 'Signed on paper', 180);
  for (let i = 0; i < PAPER_LINES; i += 1) inkLine(flow);
  return sheetsOf(flow);
}

export type Broken = Extract<ReportSignature['holds'], { readonly kind: 'broken' }>;

/** Since when, by what, and what is not as it was signed. */
export function brokenWords({ since, cause, parts }: Broken): string {
  const by = cause.kind === 'readings' ? 'by other readings' : `by “${cause.action}” of ${cause.by}`;
  return `BROKEN since ${since.replace('T', ' ')}, ${by}${parts.length > 0 ? `: ${parts.join(', ')}` : ''}`;
}

const PAPER_LINES = 4;
const FIELDS = [
  ['Name', 0.3],
  ['Role', 0.22],
  ['Date and rig time', 0.2],
  ['Signature', 0.28],
] as const;

function inkLine(flow: Flow): void {
  const at = takePlace(flow, 42);
  const gutter = 10;
  let x = at.x;
  for (const [name, share] of FIELDS) {
    const width = at.width * share - gutter;
    flow.marks.push(
      line([x, at.y + 28, x + width, at.y + 28], 'ink', 0.6),
      text(flow.pen, x, at.y + 37, name, { size: 6.4, tone: 'soft' }),
    );
    x += width + gutter;
  }
}
