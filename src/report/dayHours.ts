/** A day drawn as its hours, one below the other, each minute in the filling of its activity. */
import { type Flow, takePlace } from '../sheet/flow.ts';
import { box, line, text } from '../sheet/pen.ts';
import type { Pattern, Tone } from '../sheet/sheet.ts';
import type { ActivityName } from '../time/activities.ts';
import type { TimeSheet } from '../time/timeSheetSchema.ts';

const HOUR_MS = 3600_000;
const ROW = 10.5;
const LEFT = 34;
const RIGHT = 6;
const TOP = 12;
const LEGEND = 16;
const LABEL_SIZE = 6;

/** What is not named here is white, and bears its name where that has room. */
const FILLS: Readonly<Partial<Record<ActivityName, readonly [Pattern, Tone]>>> = {
  'expand isolation joints': ['solid', 'soft'],
  'expand screens': ['solid', 'faint'],
  'add stands': ['level', 'ink'],
  stalled: ['cross', 'bad'],
  wait: ['back hatch', 'doubt'],
  'no data': ['hatch', 'ink'],
};
const DARK: readonly ActivityName[] = ['expand isolation joints'];

type Day = TimeSheet['days'][number];

export function dayHours(flow: Flow, day: Day): void {
  const fromMs = Date.parse(day.from);
  const rows = Math.ceil((Date.parse(day.to) - fromMs) / HOUR_MS);
  const at = takePlace(flow, TOP + rows * ROW + LEGEND + 6);
  const width = at.width - LEFT - RIGHT;
  const x0 = at.x + LEFT;
  const y0 = at.y + TOP;
  for (let minute = 0; minute <= 60; minute += 10) {
    const x = x0 + (minute / 60) * width;
    flow.marks.push(
      text(flow.pen, x, at.y + 8, `${minute}`, { size: LABEL_SIZE, tone: 'soft', anchor: 'middle' }),
      line([x, y0, x, y0 + rows * ROW], 'faint', 0.3),
    );
  }
  for (const stretch of day.stretches) drawStretch(flow, stretch, { fromMs, x0, y0, width });
  for (let hour = 0; hour <= rows; hour += 1) {
    const y = y0 + hour * ROW;
    flow.marks.push(line([x0, y, x0 + width, y], 'soft', 0.3));
    if (hour === rows) break;
    const said = clockOf(day.from, hour);
    flow.marks.push(text(flow.pen, x0 - 4, y + ROW - 2.8, said, { size: LABEL_SIZE, anchor: 'end' }));
  }
  legend(flow, at.x, y0 + rows * ROW + 12);
}

/** The clock at the beginning of a row, as it goes on from the beginning of the day. */
function clockOf(dayFrom: string, hours: number): string {
  const [hour, minute] = dayFrom.slice(11, 16).split(':').map(Number);
  return `${String((hour! + hours) % 24).padStart(2, '0')}:${String(minute!).padStart(2, '0')}`;
}

interface Hours {
  readonly fromMs: number;
  readonly x0: number;
  readonly y0: number;
  readonly width: number;
}

/** In a piece for each hour that it has a part in. */
function drawStretch(flow: Flow, { activity, from, to, lost }: Day['stretches'][number], hours: Hours): void {
  const { fromMs, x0, y0, width } = hours;
  const endMs = Date.parse(to) - fromMs;
  const fill = FILLS[activity] ?? null;
  for (let startMs = Date.parse(from) - fromMs; startMs < endMs; ) {
    const hour = Math.floor(startMs / HOUR_MS);
    const stopMs = Math.min(endMs, (hour + 1) * HOUR_MS);
    const x = x0 + ((startMs - hour * HOUR_MS) / HOUR_MS) * width;
    const wide = ((stopMs - startMs) / HOUR_MS) * width;
    const y = y0 + hour * ROW;
    flow.marks.push(box(x, y + 0.8, wide, ROW - 1.6, fill, ['soft', 0.25]));
    if (lost) flow.marks.push(box(x, y + ROW - 2.6, wide, 1.8, ['solid', 'bad']));
    if (!fill || DARK.includes(activity)) {
      const tone = fill ? ('paper' as const) : ('ink' as const);
      const said = text(flow.pen, x + 2, y + ROW - 3.2, activity, { size: LABEL_SIZE, tone });
      if (said.width + 4 < wide) flow.marks.push(said);
    }
    startMs = stopMs;
  }
}

function legend(flow: Flow, left: number, y: number): void {
  let x = left;
  for (const [activity, fill] of Object.entries(FILLS)) {
    const said = text(flow.pen, x + 14, y, activity, { size: LABEL_SIZE, tone: 'soft' });
    flow.marks.push(box(x, y - 6, 11, 7, fill, ['ink', 0.4]), said);
    x += said.width + 22;
  }
  const lost = text(flow.pen, x + 14, y, 'bar below: lost', { size: LABEL_SIZE, tone: 'soft' });
  flow.marks.push(box(x, y - 1, 11, 1.8, ['solid', 'bad']), lost);
}
