/** The run beside other versions of it: what each plan changed, joints that change, events that come and go. */
import { UNKNOWN } from '../figures.ts';
import { compareRecords } from '../replay/compareRecords.ts';
import { type Flow, heading, paragraph, sheetsOf, startFlow } from '../sheet/flow.ts';
import type { Pen } from '../sheet/pen.ts';
import { type Sheet, sheetLink } from '../sheet/sheet.ts';
import { table } from '../sheet/table.ts';
import { dateTimeOf, type Facts, jointKey, shown, traceLink, unitOf } from './facts.ts';
import { DIFFERENCES } from './parts.ts';
import { planChanges } from './planChanges.ts';
import type { ReportAgainst } from './reportInput.ts';

export function differencesPart(facts: Facts, pen: Pen): Sheet[] {
  const { against, underFirstPlan, runName } = facts.input;
  if (!against && !underFirstPlan) return [];
  const flow = startFlow(pen, DIFFERENCES, 'differences');
  if (underFirstPlan) {
    changedPlan(flow, facts);
    const asRun = { name: runName, record: facts.record };
    beside(flow, facts, underFirstPlan, asRun, 'As run');
  }
  if (against) beside(flow, facts, { name: runName, record: facts.record }, against, 'Becomes');
  return sheetsOf(flow);
}

/** Lines of one version that are printed; the plan itself has them all. */
const MOST_LINES = 40;

function changedPlan(flow: Flow, facts: Facts): void {
  const { versions } = facts.input.worked;
  heading(flow, 'What the versions of the plan changed');
  const rows = versions.slice(1).flatMap(({ plan, fromMs }, i) => {
    const changes = planChanges(versions[i]!.plan, plan);
    const more = changes.length - MOST_LINES;
    return [
      ...changes
        .slice(0, MOST_LINES)
        .map(({ place, before, after }, line) => [
          line === 0 ? String(i + 2) : '',
          line === 0 ? { text: dateTimeOf(facts, fromMs), href: traceLink(fromMs) } : '',
          place,
          before ?? UNKNOWN,
          { text: after ?? UNKNOWN, bold: true },
        ]),
      ...(more > 0 ? [['', '', `${more} more`, '', '']] : []),
    ];
  });
  table(flow, {
    columns: [
      { head: 'Version' },
      { head: 'In force from', whole: true },
      { head: 'Place in the plan' },
      { head: 'Before' },
      { head: 'After' },
    ],
    rows,
    none: 'Nothing: they say the same.',
    size: 7,
  });
}

function beside(flow: Flow, facts: Facts, first: ReportAgainst, second: ReportAgainst, after: string): void {
  const found = compareRecords(first.record, second.record);
  const unit = unitOf(facts, 'length');
  const length = (value: number): string => shown(facts, 'length', value);
  heading(flow, `${second.name} beside ${first.name}`);
  paragraph(
    flow,
    `${length(found.gained)} ${unit} gained, ${length(found.lost)} ${unit} lost; joints that stay as they are: ${found.alike}.`,
  );
  const own = new Set(facts.record.joints.map(({ name }) => name));
  heading(flow, 'Joints that are different');
  table(flow, {
    columns: [
      { head: 'Joint' },
      { head: 'Verdict' },
      { head: after },
      { head: 'Expanded', unit, align: 'right' },
      { head: after, unit, align: 'right' },
      { head: 'Gained', unit, align: 'right' },
      { head: 'Lost', unit, align: 'right' },
    ],
    rows: found.joints.map((one) => [
      own.has(one.name) ? { text: one.name, href: sheetLink(jointKey(one.name)) } : one.name,
      one.before ?? UNKNOWN,
      { text: one.after ?? UNKNOWN, bold: one.before !== one.after },
      length(one.expandedBefore),
      length(one.expandedAfter),
      length(one.gained),
      length(one.lost),
    ]),
    none: 'None.',
  });
  eventsBeside(flow, facts, found);
}

function eventsBeside(flow: Flow, facts: Facts, found: ReturnType<typeof compareRecords>): void {
  const events = [
    ...found.eventsCome.map((event) => ({ what: 'comes', ...event })),
    ...found.eventsGone.map((event) => ({ what: 'goes', ...event })),
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
}
