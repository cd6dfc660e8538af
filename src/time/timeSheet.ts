/** Where the time of a run went: its phases as activities, cut at days and at what was lost. All in whole ms. */
import type { JournalEntry } from '../journal/journalSchema.ts';
import { offsetMs, planProblems } from '../plan/job.ts';
import type { Plan } from '../plan/planSchema.ts';
import type { RunRecord } from '../record/recordSchema.ts';
import { ACTIVITY_NAMES, ACTIVITY_OF, STANDING } from './activities.ts';
import { type CodedStretch, codedStretches } from './lostTime.ts';
import { type OffsetFrom, offsetAt, type RigDay, rigDays } from './rigDays.ts';
import { rigTimeText } from './rigTime.ts';
import { TIME_DEFAULTS, type TimeRules, timeRules } from './timePlan.ts';
import type { TimeSheet, TimeStretch } from './timeSheetSchema.ts';

export interface TimeInput {
  /** The plan that the run began with. */
  readonly plan: Plan;
  readonly record: Pick<RunRecord, 'source' | 'phases'>;
  /** In the order in which they were worked in. */
  readonly entries: readonly JournalEntry[];
}

type Piece = TimeStretch & { fromMs: number; toMs: number };

export function timeSheet(input: TimeInput): TimeSheet {
  const { record, entries } = input;
  const plans = plansOf(input);
  const last = plans.at(-1)!.plan;
  const rules = timeRules(last.time);
  const offsets = plans.map(({ fromMs, plan }) => ({
    fromMs,
    offsetMs: offsetMs(plan.stream?.utcOffset ?? '+00:00'),
  }));
  const fromMs = Date.parse(record.source.from);
  const toMs = Date.parse(record.source.to);
  const days = rigDays(offsets, rules.dayCutMs, fromMs, toMs);
  const pieces = piecesOf(record.phases, codedStretches(entries), days);
  const uncoded = askedFor(piecesOf(record.phases, codedStretches(entries), []), rules);
  const lost = lostOf(pieces, rules);
  return {
    from: record.source.from,
    to: record.source.to,
    dayCut: last.time?.dayCut ?? TIME_DEFAULTS.dayCut,
    days: days.map((day) => dayOf(day, pieces, offsets)),
    totals: totalsOf(pieces, rules),
    lost,
    lostMs: lost.reduce((sum, { ms }) => sum + ms, 0),
    uncoded: uncoded.map(bare),
    codes: rules.codes.map((code) => ({ ...code })),
    defaults: rules.defaults.map((key) => ({ place: `time.${key}`, value: defaultText(key) })),
  };
}

/** The whole run as stretches of activity, cut only where lost time begins or ends. */
export const timeStretches = (record: TimeInput['record'], entries: readonly JournalEntry[]): TimeStretch[] =>
  piecesOf(record.phases, codedStretches(entries), []).map(bare);

const defaultText = (key: keyof typeof TIME_DEFAULTS): string =>
  key === 'codes' ? TIME_DEFAULTS.codes.map(({ code }) => code).join(', ') : String(TIME_DEFAULTS[key]);

/** The versions of the plan that came into force, the first of them at all times before. */
function plansOf({ plan, entries }: TimeInput): { fromMs: number; plan: Plan }[] {
  const later = entries.flatMap((entry) =>
    entry.action === 'change plan' && planProblems(entry.plan).length === 0
      ? [{ fromMs: Date.parse(entry.at), plan: entry.plan }]
      : [],
  );
  return [{ fromMs: -Infinity, plan }, ...later];
}

function bare({ fromMs: _, toMs: __, ...stretch }: Piece): TimeStretch {
  return stretch;
}

function pieceOf(
  phase: RunRecord['phases'][number],
  fromMs: number,
  toMs: number,
  coded: CodedStretch | undefined,
): Piece {
  return {
    activity: ACTIVITY_OF[phase.phase],
    phase: phase.phase,
    joint: phase.joint,
    from: new Date(fromMs).toISOString(),
    to: new Date(toMs).toISOString(),
    ms: toMs - fromMs,
    lost: coded ? { code: coded.code, reason: coded.reason, by: coded.by } : null,
    fromMs,
    toMs,
  };
}

/** The phases, cut wherever a code or a day begins or ends. */
function piecesOf(phases: RunRecord['phases'], codes: readonly CodedStretch[], days: readonly RigDay[]): Piece[] {
  const cuts = [...codes, ...days].flatMap(({ fromMs, toMs }) => [fromMs, toMs]).sort((a, b) => a - b);
  const pieces: Piece[] = [];
  let cut = 0;
  let code = 0;
  for (const phase of phases) {
    const endMs = Date.parse(phase.to);
    let atMs = Date.parse(phase.from);
    while (atMs < endMs) {
      while (cut < cuts.length && cuts[cut]! <= atMs) cut += 1;
      while (code < codes.length && codes[code]!.toMs <= atMs) code += 1;
      const toMs = Math.min(endMs, cuts[cut] ?? Infinity);
      const coded = codes[code];
      pieces.push(pieceOf(phase, atMs, toMs, coded && coded.fromMs <= atMs ? coded : undefined));
      atMs = toMs;
    }
  }
  return pieces;
}

function dayOf(day: RigDay, pieces: readonly Piece[], offsets: readonly OffsetFrom[]): TimeSheet['days'][number] {
  const within = pieces.filter(({ fromMs, toMs }) => fromMs >= day.fromMs && toMs <= day.toMs);
  const lengthMs = day.toMs - day.fromMs;
  const spent = within.reduce((sum, { ms }) => sum + ms, 0);
  return {
    date: day.date,
    from: rigTimeText(day.fromMs, offsetAt(offsets, day.fromMs)),
    to: rigTimeText(day.toMs, offsetAt(offsets, day.toMs)),
    lengthMs,
    outsideMs: lengthMs - spent,
    sums: sumsOf(within),
    stretches: within.map(bare),
  };
}

function sumsOf(pieces: readonly Piece[]): TimeSheet['days'][number]['sums'] {
  return ACTIVITY_NAMES.flatMap((activity) => {
    const own = pieces.filter((piece) => piece.activity === activity);
    if (own.length === 0) return [];
    const sum = (of: readonly Piece[]) => of.reduce((all, { ms }) => all + ms, 0);
    return [{ activity, ms: sum(own), lostMs: sum(own.filter(({ lost }) => lost !== null)) }];
  });
}

function totalsOf(pieces: readonly Piece[], { plannedMs }: TimeRules): TimeSheet['totals'] {
  const sums = new Map(sumsOf(pieces).map((sum) => [sum.activity, sum]));
  return ACTIVITY_NAMES.filter((activity) => sums.has(activity) || plannedMs.has(activity)).map((activity) => ({
    ...(sums.get(activity) ?? { activity, ms: 0, lostMs: 0 }),
    plannedMs: plannedMs.get(activity) ?? null,
  }));
}

function lostOf(pieces: readonly Piece[], { codes }: TimeRules): TimeSheet['lost'] {
  const sums = new Map<string, number>();
  for (const { lost, ms } of pieces) if (lost) sums.set(lost.code, (sums.get(lost.code) ?? 0) + ms);
  return [...sums]
    .sort(([a, msA], [b, msB]) => msB - msA || (a < b ? -1 : 1))
    .map(([code, ms]) => ({ code, says: codes.find((one) => one.code === code)?.says ?? null, ms }));
}

/** Stalls, and stretches in which the work stood or nothing was known for longer than is let pass. */
function askedFor(pieces: readonly Piece[], { askAfterMs }: TimeRules): Piece[] {
  return pieces.filter(
    ({ activity, ms, lost }) =>
      lost === null && STANDING.includes(activity) && (activity === 'stalled' || ms >= askAfterMs),
  );
}
