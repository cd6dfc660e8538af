/** Where the time went: minutes by phase of the record, by day and activity where time sheets are given, and what was lost. */
import { decimal, UNKNOWN } from '../figures.ts';
import type { PhaseName } from '../phases.ts';
import { PHASE_NAMES } from '../phases.ts';
import { type Flow, heading, paragraph, sheetsOf, startFlow, takePlace } from '../sheet/flow.ts';
import { box, type Pen, text } from '../sheet/pen.ts';
import type { Pattern, Sheet, Tone } from '../sheet/sheet.ts';
import { table } from '../sheet/table.ts';
import { dateTimeOf, type Facts, lasted } from './facts.ts';
import { TIME } from './parts.ts';
import { boldCell as bold, duration, stretchTable } from './stretchTable.ts';

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
  heading(flow, 'Planned and actual, the whole run');
  table(flow, {
    columns: [{ head: 'Activity' }, duration('Planned'), duration('Actual'), duration('Of that lost')],
    rows: [
      ...time.totals.map(({ activity, plannedMs, ms, lostMs }) => [
        activity,
        plannedMs === null ? UNKNOWN : lasted(plannedMs),
        lasted(ms),
        lasted(lostMs),
      ]),
      [bold('All'), '', bold(lasted(time.totals.reduce((all, { ms }) => all + ms, 0))), bold(lasted(time.lostMs))],
    ],
    none: '',
  });
  for (const { date, lengthMs, outsideMs, sums } of time.days) {
    heading(flow, `The day from ${date} ${time.dayCut}`);
    table(flow, {
      columns: [{ head: 'Activity' }, duration('Time'), duration('Of that lost')],
      rows: [
        ...sums.map(({ activity, ms, lostMs }) => [activity, lasted(ms), lasted(lostMs)]),
        ...(outsideMs > 0 ? [['before the run began, or after it ended', lasted(outsideMs), '']] : []),
        [bold('The day'), bold(lasted(lengthMs)), ''],
      ],
      none: '',
    });
  }
  const lost = time.days.flatMap(({ stretches }) => stretches.filter((one) => one.lost !== null));
  const when = (ms: number): string => dateTimeOf(facts, ms);
  stretchTable(flow, when, 'Lost time', lost, 'No time was lost, or none was said to be.');
  stretchTable(flow, when, 'The work stood, and nobody has said why', time.uncoded, 'None.');
  if (time.defaults.length === 0) return;
  const used = time.defaults.map(({ place, value }) => `${place}: ${value}`).join('; ');
  paragraph(flow, `Defaults to be confirmed: ${used}.`, { size: 7.4, tone: 'soft' });
}
