/** The run beside another version of it: joints that change, events that come and go. */
import { UNKNOWN } from '../figures.ts';
import { compareRecords } from '../replay/compareRecords.ts';
import { heading, paragraph, sheetsOf, startFlow } from '../sheet/flow.ts';
import type { Pen } from '../sheet/pen.ts';
import { type Sheet, sheetLink } from '../sheet/sheet.ts';
import { table } from '../sheet/table.ts';
import { dateTimeOf, type Facts, jointKey, shown, traceLink, unitOf } from './facts.ts';
import { DIFFERENCES } from './parts.ts';

export function differencesPart(facts: Facts, pen: Pen): Sheet[] {
  const { against, runName } = facts.input;
  if (!against) return [];
  const flow = startFlow(pen, DIFFERENCES, 'differences');
  const { joints, alike, eventsCome, eventsGone, gained, lost } = compareRecords(facts.record, against.record);
  const unit = unitOf(facts, 'length');
  const length = (value: number): string => shown(facts, 'length', value);
  paragraph(
    flow,
    `${against.name} beside ${runName}: ${length(gained)} ${unit} gained, ${length(lost)} ${unit} lost; ` +
      `joints that stay as they are: ${alike}.`,
  );
  heading(flow, 'Joints that are different');
  table(flow, {
    columns: [
      { head: 'Joint' },
      { head: 'Verdict' },
      { head: 'Becomes' },
      { head: 'Expanded', unit, align: 'right' },
      { head: 'Becomes', unit, align: 'right' },
      { head: 'Gained', unit, align: 'right' },
      { head: 'Lost', unit, align: 'right' },
    ],
    rows: joints.map((one) => [
      one.before === null ? one.name : { text: one.name, href: sheetLink(jointKey(one.name)) },
      one.before ?? UNKNOWN,
      { text: one.after ?? UNKNOWN, bold: one.before !== one.after },
      length(one.expandedBefore),
      length(one.expandedAfter),
      length(one.gained),
      length(one.lost),
    ]),
    none: 'None.',
  });
  const events = [
    ...eventsCome.map((event) => ({ what: 'comes', ...event })),
    ...eventsGone.map((event) => ({ what: 'goes', ...event })),
  ].sort((a, b) => Date.parse(a.from) - Date.parse(b.from));
  heading(flow, 'Events that come or go');
  table(flow, {
    columns: [
      { head: '' },
      { head: 'Began', whole: true },
      { head: 'Event' },
      { head: 'Joint' },
      { head: 'What was seen' },
    ],
    rows: events.map(({ what, from, kind, joint, detail }) => [
      { text: what, bold: true },
      { text: dateTimeOf(facts, Date.parse(from)), href: traceLink(Date.parse(from), joint) },
      kind,
      joint ?? UNKNOWN,
      detail,
    ]),
    none: 'None.',
  });
  return sheetsOf(flow);
}
