/** Whether the run that was kept is still what was recorded, as it was found when this report was made. */
import { heading, paragraph, sheetsOf, startFlow } from '../sheet/flow.ts';
import { pairs } from '../sheet/pairs.ts';
import type { Pen } from '../sheet/pen.ts';
import type { Sheet } from '../sheet/sheet.ts';
import { table } from '../sheet/table.ts';
import { type Facts, utcOf } from './facts.ts';
import { VERIFICATION } from './parts.ts';

export function verificationPart(facts: Facts, pen: Pen): Sheet[] {
  const flow = startFlow(pen, VERIFICATION, 'verification');
  const { verification, source, program, recordHash } = facts.input;
  pairs(
    flow,
    [
      { name: 'Frames read', value: String(source.frames) },
      { name: 'Frames refused', value: String(source.rejected) },
      { name: 'Counted by', value: program },
    ],
    3,
  );
  paragraph(flow, `SHA-256 of the record: ${recordHash}`);
  heading(flow, 'Refused, by reason', 30);
  table(flow, {
    columns: [{ head: 'Reason' }, { head: 'Count', align: 'right' }],
    rows: Object.entries(facts.record.source.reasons).map(([reason, count]) => [reason, String(count)]),
    none: 'Nothing was refused.',
  });
  heading(flow, 'The kept run');
  if (!verification) {
    paragraph(flow, 'Not verified: this report was made from a stream, or of a run that is not kept.');
    return sheetsOf(flow);
  }
  const { whole, records, lastNumber, hash, sealed, journalRows, plans, holes, problems } = verification;
  const verdict = whole ? 'WHOLE: every record is the one that was written' : 'NOT WHOLE: it is not what was recorded';
  paragraph(flow, verdict, { size: 11, bold: true, tone: whole ? 'good' : 'bad' });
  pairs(
    flow,
    [
      { name: 'Records', value: String(records) },
      { name: 'Number of the last one', value: String(lastNumber) },
      { name: 'Closed and sealed', value: sealed ? 'yes' : 'no' },
      { name: 'Entries of the journal', value: String(journalRows) },
      { name: 'Plans', value: String(plans) },
    ],
    5,
  );
  paragraph(flow, `Chain at the last record: ${hash || 'empty'}`);
  heading(flow, 'What does not check');
  table(flow, {
    columns: [{ head: 'No.', align: 'right' }, { head: 'Found' }],
    rows: problems.map((problem, i) => [String(i + 1), { text: problem, tone: 'bad' }]),
    none: 'Nothing.',
  });
  heading(flow, 'Holes: what was not recorded');
  const instant = (ms: number | null): string => (ms === null ? 'not known' : utcOf(ms));
  table(flow, {
    columns: [{ head: 'From', whole: true }, { head: 'To', whole: true }, { head: 'Why' }],
    rows: holes.map(({ fromMs, toMs, why }) => [instant(fromMs), instant(toMs), why]),
    none: 'None.',
  });
  return sheetsOf(flow);
}
