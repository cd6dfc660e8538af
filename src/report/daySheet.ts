/** The time sheet of one day: every minute of it in an activity, planned against actual, what was lost and why. */
import { CAUTION } from '../caution.ts';
import { UNKNOWN } from '../figures.ts';
import { type Flow, heading, paragraph, sheetsOf, startFlow } from '../sheet/flow.ts';
import { withFurniture } from '../sheet/furniture.ts';
import { pairs } from '../sheet/pairs.ts';
import type { Pen } from '../sheet/pen.ts';
import type { Sheet } from '../sheet/sheet.ts';
import { table } from '../sheet/table.ts';
import type { TimeSheet } from '../time/timeSheetSchema.ts';
import { dayHours } from './dayHours.ts';
import { lasted } from './facts.ts';
import { offsetOf, rigClock } from './rigClock.ts';
import { boldCell, duration, stretchTable } from './stretchTable.ts';

export const DAY = 'Time sheet';

export interface DayOnPaper {
  readonly sheet: TimeSheet;
  /** Index in its days. */
  readonly day: number;
  readonly well: string;
  readonly rig: string;
  readonly runName: string;
}

export function daySheets(said: DayOnPaper, pen: Pen): Sheet[] {
  const { sheet } = said;
  const day = sheet.days[said.day]!;
  const clock = rigClock(offsetOf(day.from), null);
  const when = (ms: number): string => clock.whole(ms);
  const flow = startFlow(pen, DAY, 'day', `Time sheet of ${day.date}`);
  head(flow, sheet, day);
  heading(flow, 'The day, hour by hour', 300);
  dayHours(flow, day);
  sums(flow, sheet, day);
  const lost = day.stretches.filter((one) => one.lost !== null);
  const [fromMs, toMs] = [Date.parse(day.from), Date.parse(day.to)];
  const uncoded = sheet.uncoded.filter(({ from, to }) => Date.parse(from) < toMs && Date.parse(to) > fromMs);
  stretchTable(flow, when, 'Lost time', lost, 'No time was lost, or none was said to be.');
  stretchTable(flow, when, 'The work stood, and nobody has said why', uncoded, 'None.');
  stretchTable(flow, when, 'All of the day, in order', day.stretches, 'The run has no part in this day.');
  if (sheet.defaults.length > 0) {
    const used = sheet.defaults.map(({ place, value }) => `${place}: ${value}`).join('; ');
    paragraph(flow, `Defaults to be confirmed: ${used}.`, { size: 7.4, tone: 'soft' });
  }
  return withFurniture(pen, sheetsOf(flow), {
    of: [said.well, said.rig, said.runName].filter(Boolean).join(' · '),
    what: `${DAY} ${day.date}`,
    foot: `Days are cut at ${sheet.dayCut}, rig time`,
    caution: CAUTION,
  });
}

type Day = TimeSheet['days'][number];

function head(flow: Flow, sheet: TimeSheet, day: Day): void {
  const when = (text: string): string => text.replace('T', ' ').replace(/\.\d+/, '');
  const lostMs = day.sums.reduce((all, one) => all + one.lostMs, 0);
  pairs(
    flow,
    [
      { name: 'From, rig time', value: when(day.from) },
      { name: 'To, rig time', value: when(day.to) },
      { name: 'The day, h:min:s', value: lasted(day.lengthMs) },
      { name: 'Of that lost', value: lasted(lostMs), tone: lostMs > 0 ? 'bad' : 'ink' },
      { name: 'Lost in the whole run', value: lasted(sheet.lostMs) },
      { name: 'By cause, whole run', value: causes(sheet) },
    ],
    3,
  );
}

const causes = ({ lost }: TimeSheet): string =>
  lost.map(({ code, ms }) => `${code} ${lasted(ms)}`).join(', ') || 'none was said';

/** Planned is the whole run: no plan says which day. */
function sums(flow: Flow, sheet: TimeSheet, day: Day): void {
  heading(flow, 'Sum of the day, and planned against actual of the whole run so far');
  const own = new Map(day.sums.map((one) => [one.activity, one]));
  const all = sheet.totals.reduce((sum, { ms }) => sum + ms, 0);
  table(flow, {
    columns: [
      { head: 'Activity' },
      duration('This day'),
      duration('Of that lost'),
      duration('Whole run'),
      duration('Planned'),
      duration('Over the plan'),
    ],
    rows: [
      ...sheet.totals.map(({ activity, ms, plannedMs }) => [
        activity,
        lasted(own.get(activity)?.ms ?? 0),
        lasted(own.get(activity)?.lostMs ?? 0),
        lasted(ms),
        plannedMs === null ? UNKNOWN : lasted(plannedMs),
        plannedMs === null || ms <= plannedMs ? UNKNOWN : lasted(ms - plannedMs),
      ]),
      ...(day.outsideMs > 0
        ? [['before the run began, or after its last sample', lasted(day.outsideMs), '', '', '', '']]
        : []),
      [boldCell('Sum'), boldCell(lasted(day.lengthMs)), '', boldCell(lasted(all)), '', ''],
    ],
    none: '',
  });
}
