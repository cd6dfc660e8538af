/** Where the time went: minutes by phase of the record, by day and activity where time sheets are given, and what was lost. */
import { decimal, UNKNOWN } from '../figures.ts';
import type { PhaseName } from '../phases.ts';
import { PHASE_NAMES } from '../phases.ts';
import { type Flow, heading, paragraph, sheetsOf, startFlow, takePlace } from '../sheet/flow.ts';
import { box, type Pen, text } from '../sheet/pen.ts';
import type { Pattern, Sheet, Tone } from '../sheet/sheet.ts';
import { table } from '../sheet/table.ts';
import { dateTimeOf, type Facts, lasted, traceLink } from './facts.ts';
import { TIME } from './parts.ts';

export function timePart(facts: Facts, pen: Pen): Sheet[] {
  const flow = startFlow(pen, TIME, 'time');
  const { from, to } = facts.record.source;
  const total = (Date.parse(to) - Date.parse(from)) / 60_000;
  paragraph(
    flow,
    `${dateTimeOf(facts, Date.parse(from))} to ${dateTimeOf(facts, Date.parse(to))}, ${decimal(total, 2)} min in all; ` +
      'phases cover the whole run without a hole or an overlap.',
  );
  ribbon(flow, facts);
  byPhase(flow, facts, total);
  byDay(flow, facts);
  return sheetsOf(flow);
}

const FILLS: Readonly<Partial<Record<PhaseName, readonly [Pattern, Tone]>>> = {
  'expanding isolation': ['solid', 'soft'],
  'expanding screen': ['solid', 'faint'],
  'making connection': ['level', 'ink'],
  stalled: ['cross', 'bad'],
  'no data': ['hatch', 'ink'],
};
const RIBBON_HEIGHT = 22;

/** The run from left to right: rolling filled, what stopped it hatched. */
function ribbon(flow: Flow, facts: Facts): void {
  const { phases, source } = facts.record;
  const fromMs = Date.parse(source.from);
  const spanMs = Math.max(1, Date.parse(source.to) - fromMs);
  const at = takePlace(flow, RIBBON_HEIGHT + 24);
  const place = (ms: number): number => at.x + ((ms - fromMs) / spanMs) * at.width;
  for (const { phase, from, to } of phases) {
    const fill = FILLS[phase];
    const x = place(Date.parse(from));
    if (fill) flow.marks.push(box(x, at.y, place(Date.parse(to)) - x, RIBBON_HEIGHT, fill));
  }
  flow.marks.push(box(at.x, at.y, at.width, RIBBON_HEIGHT, null, ['ink', 0.6]));
  let x = at.x;
  const y = at.y + RIBBON_HEIGHT + 11;
  for (const [phase, fill] of Object.entries(FILLS)) {
    const said = text(flow.pen, x + 14, y, phase, { size: 6.4, tone: 'soft' });
    flow.marks.push(box(x, y - 6, 11, 7, fill, ['ink', 0.4]), said);
    x += said.width + 26;
  }
  flow.marks.push(text(flow.pen, x, y, 'white: all else', { size: 6.4, tone: 'soft' }));
}

function byPhase(flow: Flow, { record }: Facts, total: number): void {
  heading(flow, 'Minutes by phase');
  const times = (phase: PhaseName): number => record.phases.filter((one) => one.phase === phase).length;
  const rows = PHASE_NAMES.filter((phase) => record.minutes[phase] !== undefined).map((phase) => {
    const minutes = record.minutes[phase]!;
    const share = decimal(total > 0 ? (100 * minutes) / total : 0, 1);
    return [phase, lasted(minutes * 60_000), decimal(minutes, 2), share, String(times(phase))];
  });
  const ms = record.phases.reduce((all, { from, to }) => all + Date.parse(to) - Date.parse(from), 0);
  table(flow, {
    columns: [
      { head: 'Phase' },
      { head: 'Time', unit: 'h:min:s', align: 'right' },
      { head: 'The same', unit: 'min', align: 'right' },
      { head: 'Share', unit: '%', align: 'right' },
      { head: 'Times', align: 'right' },
    ],
    rows: [
      ...rows,
      [
        { text: 'All', bold: true },
        { text: lasted(ms), bold: true },
        { text: decimal(ms / 60_000, 2), bold: true },
        '',
        '',
      ],
    ],
    none: '',
  });
}

function byDay(flow: Flow, facts: Facts): void {
  const { time } = facts.input;
  if (!time) return;
  for (const { day, rows } of time.days) {
    heading(flow, day);
    const sum = (of: 'actual' | 'lost'): string =>
      decimal(
        rows.reduce((all, row) => all + row[of], 0),
        2,
      );
    table(flow, {
      columns: [
        { head: 'Activity' },
        { head: 'Planned', unit: 'min', align: 'right' },
        { head: 'Actual', unit: 'min', align: 'right' },
        { head: 'Of those lost', unit: 'min', align: 'right' },
      ],
      rows: [
        ...rows.map(({ activity, planned, actual, lost }) => [
          activity,
          planned === null ? UNKNOWN : decimal(planned, 2),
          decimal(actual, 2),
          decimal(lost, 2),
        ]),
        [{ text: 'All', bold: true }, '', { text: sum('actual'), bold: true }, { text: sum('lost'), bold: true }],
      ],
      none: '',
    });
  }
  heading(flow, 'Lost time');
  table(flow, {
    columns: [
      { head: 'From', whole: true },
      { head: 'To', whole: true },
      { head: 'Lost', unit: 'min:s', align: 'right' },
      { head: 'Code' },
      { head: 'Reason' },
      { head: 'By' },
    ],
    rows: time.lost.map(({ fromMs, toMs, code, reason, by }) => [
      { text: dateTimeOf(facts, fromMs), href: traceLink(fromMs) },
      dateTimeOf(facts, toMs),
      lasted(toMs - fromMs),
      code,
      reason,
      by,
    ]),
    none: 'None was coded.',
  });
}
