/**
 * The handover of a shift on one sheet of paper. Lists are cut, each from its least important end, until all has room; how many
 * rows are left out is said. What is signed is the whole page, as the program shows it.
 */
import { CAUTION } from '../caution.ts';
import { PRIORITIES } from '../events.ts';
import { decimal, shownDecimals, UNKNOWN } from '../figures.ts';
import type { HandoverPage } from '../handover/handoverPage.ts';
import { type Flow, needRoom, paragraph, sheetsOf, startFlow } from '../sheet/flow.ts';
import { withFurniture } from '../sheet/furniture.ts';
import { pairs } from '../sheet/pairs.ts';
import { type Pen, text } from '../sheet/pen.ts';
import type { Sheet } from '../sheet/sheet.ts';
import { table } from '../sheet/table.ts';
import type { SignatureState } from '../signing/signatures.ts';
import { SIDES, type Side } from '../signing/signEntry.ts';
import type { TimeCodeEntry } from '../time/timeEntry.ts';
import { converter, type UnitSystem } from '../units.ts';
import { boundsText } from './boundsText.ts';
import { lasted, traceLink } from './facts.ts';
import { offsetOf, type RigClock, rigClock } from './rigClock.ts';
import { signaturePlaces } from './signaturePlaces.ts';

export interface HandoverOnPaper {
  readonly page: HandoverPage;
  /** Null: the period is open. */
  readonly closed: { readonly number: number; readonly by: string; readonly at: string } | null;
  /** Causes of time lost in the period that were said when it had been closed. */
  readonly laterCauses?: readonly Pick<TimeCodeEntry, 'from' | 'to' | 'code' | 'reason' | 'by'>[];
  /** Of this handover. */
  readonly signatures: readonly SignatureState[];
  readonly well: string;
  readonly rig: string;
  readonly runName: string;
  /** To show. */
  readonly units: UnitSystem;
}

export const HANDOVER = 'Handover';
/** Rows of a list, the most that have room. */
const ROWS = [40, 25, 16, 12, 9, 7, 5, 4, 3, 2, 1] as const;
const SIZE = 7;
const HEADING_SIZE = 8.8;
/** What stands below a heading on its sheet, at the least. */
const BELOW = 30;

/** Closer than in a report: all is to have room on one sheet. */
function heading(flow: Flow, said: string): void {
  needRoom(flow, HEADING_SIZE + BELOW);
  flow.y += 3;
  const { left } = flow.pen.paper;
  flow.marks.push(text(flow.pen, left, flow.y + HEADING_SIZE, said, { size: HEADING_SIZE, bold: true }));
  flow.y += HEADING_SIZE + 3;
}

interface Drawn extends HandoverOnPaper {
  readonly clock: RigClock;
  readonly rows: number;
  readonly length: (value: number) => string;
  readonly unit: string;
}

export function handoverSheets(said: HandoverOnPaper, pen: Pen): Sheet[] {
  let drawn: Sheet[] = [];
  for (const rows of ROWS) {
    drawn = drawWith(said, pen, rows);
    if (drawn.length === 1) break;
  }
  return withFurniture(pen, drawn, {
    of: [said.well, said.rig, said.runName].filter(Boolean).join(' · '),
    what: titleOf(said),
    foot: said.closed ? `Closed by ${said.closed.by}` : 'The period is open: what comes until it is closed is not here',
    caution: CAUTION,
  });
}

const titleOf = ({ closed }: HandoverOnPaper): string =>
  closed ? `Handover ${closed.number}` : 'Handover, not closed';

function drawWith(said: HandoverOnPaper, pen: Pen, rows: number): Sheet[] {
  const { page, units } = said;
  const offsetMs = offsetOf(page.rigTo);
  const [from, to] = [converter(page.units), converter(units)];
  const drawn: Drawn = {
    ...said,
    rows,
    clock: rigClock(offsetMs, sameDay(page, offsetMs) ? Date.parse(page.to) : null),
    length: (value) => decimal(to.out('length', from.in('length', value)), shownDecimals('length', units)),
    unit: to.label('length'),
  };
  const flow = startFlow(pen, HANDOVER, 'handover', titleOf(said));
  for (const part of [head, done, joints, stops, events, sensors, inForce, entries, next, remarks]) part(flow, drawn);
  signaturePlaces(flow, SIDES.map(placeOf(said)));
  return sheetsOf(flow);
}

/** The dates of a night shift are said with its times. */
function sameDay({ from, to }: HandoverPage, offsetMs: number): boolean {
  const day = (text: string): number => Math.floor((Date.parse(text) + offsetMs) / 86_400_000);
  return day(from) === day(to);
}

const placeOf =
  ({ signatures }: HandoverOnPaper) =>
  (side: Side) => ({ who: `Who is ${side}`, signature: signatures.filter(({ as }) => as === side).at(-1) ?? null });

/** The last of them, and how many more there are. */
function kept<Row>({ rows }: Drawn, all: readonly Row[], leftOut = 0): { shown: readonly Row[]; more: number } {
  const shown = all.slice(-rows);
  return { shown, more: all.length - shown.length + leftOut };
}

function alsoMore(flow: Flow, more: number, what: string): void {
  if (more > 0) paragraph(flow, `and ${more} more ${what}, not printed here`, { size: SIZE, tone: 'soft' });
}

function head(flow: Flow, { page, clock }: Drawn): void {
  const [fromMs, toMs] = [Date.parse(page.from), Date.parse(page.to)];
  pairs(
    flow,
    [
      { name: `From, rig time (${clock.zone})`, value: clock.whole(fromMs) },
      { name: `To, rig time (${clock.zone})`, value: clock.whole(toMs) },
      { name: 'The period, h:min:s', value: lasted(toMs - fromMs) },
      { name: 'It begins with', value: page.since },
    ],
    4,
  );
}

function done(flow: Flow, { page, length, unit }: Drawn): void {
  const { inAll, standsAdded, standsMs } = page.done;
  const finished = page.done.joints.filter(({ verdict, before }) => verdict === 'expanded' && before !== verdict);
  pairs(
    flow,
    [
      { name: 'Expanded in the period', value: `${length(page.done.length)} ${unit}` },
      { name: 'Joints that became expanded', value: String(finished.length) },
      { name: 'Of the trip, expanded', value: `${length(inAll.length)} of ${length(inAll.required)} ${unit}` },
      { name: 'Of the trip, joints', value: `${inAll.joints} of ${inAll.jointsRequired}` },
      { name: 'The work stood', value: lasted(page.stoppedMs) },
      { name: 'Stands added', value: standsAdded === 0 ? '0' : `${standsAdded} in ${lasted(standsMs)}` },
      { name: 'Left to roll', value: `${length(page.next.left)} ${unit}, ${page.next.jointsLeft} joints` },
      { name: 'To be decided on', value: page.next.toDecide.join(', ') || 'none', ...openTone(page.next.toDecide) },
    ],
    4,
  );
}

const openTone = (all: readonly unknown[]) => (all.length > 0 ? ({ tone: 'bad' } as const) : {});

function joints(flow: Flow, drawn: Drawn): void {
  const { page, length, unit } = drawn;
  const { shown, more } = kept(drawn, page.done.joints, page.leftOut.joints);
  heading(flow, 'Joints that were worked');
  table(flow, {
    columns: [
      { head: 'Joint' },
      { head: 'Kind' },
      { head: 'In the period', unit, align: 'right' },
      { head: 'Coverage', unit: '%', align: 'right' },
      { head: 'Was' },
      { head: 'Is' },
    ],
    rows: shown.map(({ name, kind, length: own, coverage, verdict, before }) => [
      { text: name, bold: true },
      kind,
      length(own),
      decimal(Math.floor(1000 * coverage + 1e-6) / 10, 1),
      before,
      { text: verdict, bold: true, tone: verdict === 'short' || verdict === 'unproven' ? 'bad' : 'ink' },
    ]),
    none: 'None.',
    size: SIZE,
  });
  alsoMore(flow, more, 'joints');
}

/** The longest stay, in the order in which they came. */
function stops(flow: Flow, drawn: Drawn): void {
  const { page, clock, rows, laterCauses = [] } = drawn;
  const long = [...page.stops].sort((a, b) => b.ms - a.ms).slice(0, rows);
  const shown = long.sort((a, b) => Date.parse(a.from) - Date.parse(b.from));
  const more = page.stops.length - shown.length + (page.leftOut.stops ?? 0);
  heading(flow, 'What stopped the work, and for how long');
  table(flow, {
    columns: [
      { head: 'From', whole: true },
      { head: 'Time', unit: 'h:min:s', align: 'right' },
      { head: 'Activity' },
      { head: 'Joint' },
      { head: 'Cause' },
      { head: 'Events' },
    ],
    rows: shown.map(({ activity, joint, from, ms, lost, events: kinds }) => [
      { text: clock.short(Date.parse(from)), href: traceLink(Date.parse(from), joint) },
      lasted(ms),
      activity,
      joint ?? UNKNOWN,
      lost ? `${lost.code}: ${lost.reason} (${lost.by})` : 'not said',
      kinds.join(', ') || UNKNOWN,
    ]),
    none: 'Nothing, for longer than a minute.',
    size: SIZE,
  });
  alsoMore(flow, more, 'stops');
  for (const said of laterCauses) {
    const when = `${clock.short(Date.parse(said.from))} to ${clock.short(Date.parse(said.to))}`;
    const why = `${said.code ?? 'not lost after all'}: ${said.reason} (${said.by})`;
    paragraph(flow, `Said later, of ${when}: ${why}`, { size: SIZE, bold: true });
  }
}

/** The most urgent stay, those that go on before those that are over. */
function events(flow: Flow, drawn: Drawn): void {
  const { page, clock } = drawn;
  const rank = ({ priority, to }: HandoverPage['events'][number]): number =>
    PRIORITIES.indexOf(priority) * 2 + (to === null ? 0 : 1);
  const urgentLast = [...page.events].sort((a, b) => rank(b) - rank(a));
  const { shown, more } = kept(drawn, urgentLast, page.leftOut.events);
  heading(flow, 'Events that go on, or that nobody has acknowledged');
  table(flow, {
    columns: [
      { head: 'Event' },
      { head: 'Priority' },
      { head: 'Joint' },
      { head: 'From', whole: true },
      { head: 'To', whole: true },
      { head: 'What' },
    ],
    rows: [...shown]
      .reverse()
      .map(({ kind, priority, joint, from, to, detail, acknowledged }) => [
        { text: kind, bold: true, href: traceLink(Date.parse(from), joint) },
        priority,
        joint ?? UNKNOWN,
        clock.short(Date.parse(from)),
        to === null ? { text: 'goes on', bold: true } : clock.short(Date.parse(to)),
        acknowledged ? `${detail} (acknowledged)` : detail,
      ]),
    none: 'None.',
    size: SIZE,
  });
  alsoMore(flow, more, 'events');
}

function sensors(flow: Flow, { page, clock }: Drawn): void {
  heading(flow, 'Sensors that misbehaved');
  table(flow, {
    columns: [
      { head: 'How' },
      { head: 'Times', align: 'right' },
      { head: 'Time', unit: 'h:min:s', align: 'right' },
      { head: 'Still', whole: true },
      { head: 'The last one', whole: true },
      { head: 'What' },
    ],
    rows: page.sensors.map(({ kind, times, ms, open, last, lastFrom }) => [
      { text: kind, bold: true, href: traceLink(Date.parse(lastFrom)) },
      String(times),
      lasted(ms),
      open ? { text: 'yes', bold: true } : 'no',
      clock.short(Date.parse(lastFrom)),
      last,
    ]),
    none: 'None.',
    size: SIZE,
  });
}

function inForce(flow: Flow, { page, length, unit, units }: Drawn): void {
  const isOther = units !== page.units;
  heading(flow, `Limits and corrections in force${isOther ? `; limits in the units of the plan, ${page.units}` : ''}`);
  for (const bounds of boundsText(page.limits)) {
    paragraph(flow, bounds.group ? `${bounds.group}: ${bounds.text}` : bounds.text, { size: SIZE });
  }
  const { depth } = page;
  paragraph(
    flow,
    depth
      ? `depth: ${depth.corrected}, correction ${length(depth.correction)} ${unit}, ± ${length(depth.uncertainty)} ${unit}`
      : 'depth: not corrected',
    { size: SIZE, bold: true },
  );
}

function entries(flow: Flow, drawn: Drawn): void {
  const { page, clock } = drawn;
  const { shown, more } = kept(drawn, page.entries, page.leftOut.entries);
  heading(flow, 'What people decided and put right');
  table(flow, {
    columns: [{ head: 'At', whole: true }, { head: 'By' }, { head: 'What' }, { head: 'Words' }],
    rows: shown.map(({ at, by, action, text: words }) => [clock.short(Date.parse(at)), by, action, words || UNKNOWN]),
    none: 'Nothing.',
    size: SIZE,
  });
  alsoMore(flow, more, 'entries, older ones');
}

function next(flow: Flow, { page, length, unit, clock }: Drawn): void {
  const { joint, jointDone, tripDone } = page.next;
  const range = (of: typeof jointDone): string =>
    page.next.jointsLeft === 0
      ? UNKNOWN
      : of
        ? `${clock.short(Date.parse(of.from))} to ${clock.short(Date.parse(of.to))}`
        : 'not known';
  heading(flow, 'What comes next, and when');
  pairs(
    flow,
    [
      {
        name: 'The next joint',
        value: joint ? `${joint.name}, ${joint.kind}, ${length(joint.left)} ${unit} left` : 'none: nothing is left',
      },
      { name: 'It is done between (1 in 10 earlier, 1 in 10 later)', value: range(jointDone) },
      { name: 'The trip is done between', value: range(tripDone) },
    ],
    3,
  );
}

function remarks(flow: Flow, { page }: Drawn): void {
  heading(flow, 'Remarks');
  paragraph(flow, page.remarks || 'None.', page.remarks ? {} : { size: SIZE, tone: 'soft' });
}
