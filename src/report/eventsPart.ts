/** The events of the run with what people said to them, and the journal: what they did, in order. */
import { UNKNOWN } from '../figures.ts';
import { heading, sheetsOf, startFlow } from '../sheet/flow.ts';
import type { Pen } from '../sheet/pen.ts';
import type { Sheet } from '../sheet/sheet.ts';
import { table } from '../sheet/table.ts';
import { dateTimeOf, type Facts, lasted, shown, traceLink, unitOf } from './facts.ts';
import { EVENTS } from './parts.ts';

export function eventsPart(facts: Facts, pen: Pen): Sheet[] {
  const flow = startFlow(pen, EVENTS, 'events');
  const { events, journal = [] } = facts.record;
  table(flow, {
    columns: [
      { head: 'Began', whole: true },
      { head: 'Lasted', unit: 'min:s', align: 'right' },
      { head: 'Priority' },
      { head: 'Event' },
      { head: 'Joint' },
      { head: 'Depth', unit: unitOf(facts, 'length'), align: 'right' },
      { head: 'What was seen' },
      { head: 'Acknowledged by' },
    ],
    rows: events.map(({ kind, form, priority, joint, depth, from, to, detail, acknowledged }) => [
      { text: dateTimeOf(facts, Date.parse(from)), href: traceLink(Date.parse(from), joint) },
      to === null ? 'open' : lasted(Date.parse(to) - Date.parse(from)),
      { text: priority, bold: priority === 'high' },
      form ? `${kind}, ${form}` : kind,
      joint ?? UNKNOWN,
      shown(facts, 'length', depth),
      detail,
      acknowledged ? `${acknowledged.by}, ${dateTimeOf(facts, Date.parse(acknowledged.at))}` : UNKNOWN,
    ]),
    none: 'None.',
  });
  heading(flow, 'Journal: what people did');
  table(flow, {
    columns: [{ head: 'When', whole: true }, { head: 'By' }, { head: 'What' }, { head: 'What came of it' }],
    rows: journal.map(({ at, by, action, text }) => [
      { text: dateTimeOf(facts, Date.parse(at)), href: traceLink(Date.parse(at)) },
      by,
      action,
      text,
    ]),
    none: 'Nothing was entered.',
  });
  return sheetsOf(flow);
}
