/**
 * How long still: the finish of the joint and of the trip as a range, worked out from what this run has shown. It adds up what is
 * left to roll, to travel and to connect, each with its own spread, and gives the 10th and the 90th percentile of the sum, taken
 * as normal. Trouble so far (stalls, lifts, second passes) is carried on at the same rate.
 */
import type { Sample } from '../channels.ts';
import { firstOutside } from '../intervals.ts';
import type { FinishNow } from '../live/messages.ts';
import type { Job, Joint } from '../plan/job.ts';
import type { ExpandedKind } from '../plan/planSchema.ts';
import type { Run } from './runState.ts';

/** What was seen of one kind of thing: how often, the sum and the sum of squares. */
export interface Seen {
  count: number;
  sum: number;
  squares: number;
}

export interface Pace {
  atMs: number;
  depth: number;
  block: number;
  /** Minutes a metre of rolling, by kind: one value a metre. */
  rolling: Record<ExpandedKind, Seen>;
  /** Going down between the joints since the first metre was rolled, the stops on the way with it: metres and minutes. */
  travel: { metres: number; minutes: number };
  /** The metre underway. */
  kind: ExpandedKind | 'travel';
  metreM: number;
  metreMinutes: number;
  /** Minutes from the last advance before a stand connection to the first after it, and the length of the stands, m. */
  connection: Seen;
  stand: Seen;
  /** Minutes of trouble: between two advances on new ground of one joint, without a stand connection. */
  troubleMinutes: number;
  /** Joint of the last advance, -1 for none, and the minutes since. */
  joint: number;
  pauseMinutes: number;
  /** Whether the string has been in the slips since, and the block before they were set. */
  slipsSince: boolean;
  blockBefore: number;
  /** Lowest block at which a stand was added, m. */
  blockLow: number;
}

const seen = (): Seen => ({ count: 0, sum: 0, squares: 0 });

function see(state: Seen, value: number): void {
  state.count += 1;
  state.sum += value;
  state.squares += value * value;
}

const mean = ({ sum, count }: Seen): number => (count === 0 ? 0 : sum / count);

/** Rolled metres before anything is said. */
const ENOUGH_M = 3;
/** What a run that has seen none goes by (common practice): a connection takes 6 to 15 minutes, a stand is 27 to 29 m. */
const USUAL_CONNECTION = { mean: 10, sigma: 3 } as const;
const USUAL_STAND_M = 28;
const USUAL_LOW_M = 2;
/** A pace that is taken over from the other kind is this unsure, share. */
const OTHER_KIND_SIGMA = 0.3;
/** No pace is surer than this, share: the driller may change it. */
const LEAST_SIGMA = 0.05;
/** Travel between joints that was not seen yet, min/m, and how unsure one that was seen is, share (common practice). */
const USUAL_TRAVEL_MIN_PER_M = 1;
const TRAVEL_SIGMA = 0.3;
/** The 90th percentile of the normal distribution. */
const Z90 = 1.2816;
/** A pause that is longer belongs to nothing that will come again, min. */
const LONGEST_PAUSE_MIN = 60;
/** A block that has risen by less over a standing string has added no stand, m. */
const LEAST_STAND_M = 5;
const MS_PER_MIN = 60_000;

export function createPace(_job: Job): Pace {
  return {
    atMs: Number.NaN,
    depth: Number.NaN,
    block: Number.NaN,
    rolling: { isolation: seen(), screen: seen() },
    travel: { metres: 0, minutes: 0 },
    kind: 'travel',
    metreM: 0,
    metreMinutes: 0,
    connection: seen(),
    stand: seen(),
    troubleMinutes: 0,
    joint: -1,
    pauseMinutes: 0,
    slipsSince: false,
    blockBefore: Number.NaN,
    blockLow: Number.NaN,
  };
}

export function advancePace(run: Run, sample: Sample): void {
  const { pace, endDepth, work, motion, slips, job } = run;
  const atMs = sample.sourceMs;
  const minutes = (atMs - pace.atMs) / MS_PER_MIN;
  const metres = endDepth.depth - pace.depth;
  pace.atMs = atMs;
  pace.depth = endDepth.depth;
  if (slips.in) followSlips(pace, sample.blockPosition);
  else if (!Number.isNaN(sample.blockPosition)) pace.block = sample.blockPosition;
  if (!(minutes > 0)) return;
  const rolling = work.joint >= 0 && work.newGround;
  const advances =
    !slips.in && motion.way === 'down' && Number.isNaN(run.stalledMs) && (rolling || work.joint < 0) && minutes < 1;
  if (!advances) {
    pace.pauseMinutes += minutes;
    return;
  }
  if (pace.pauseMinutes > 0) endPause(pace, rolling && work.joint === pace.joint);
  pace.joint = rolling ? work.joint : -1;
  addMetre(pace, rolling ? (job.joints[work.joint]!.kind as ExpandedKind) : 'travel', metres, minutes);
}

/** What came between two advances: a stand connection, trouble within a joint, or part of the way from one to the next. */
function endPause(pace: Pace, sameJoint: boolean): void {
  const minutes = pace.pauseMinutes;
  pace.pauseMinutes = 0;
  const stood = pace.slipsSince;
  pace.slipsSince = false;
  const raised = pace.block - pace.blockBefore;
  if (stood && raised >= LEAST_STAND_M) {
    see(pace.stand, raised);
    if (!(pace.blockLow <= pace.blockBefore)) pace.blockLow = pace.blockBefore;
    if (minutes <= LONGEST_PAUSE_MIN) see(pace.connection, minutes);
  } else if (minutes > LONGEST_PAUSE_MIN) return;
  else if (sameJoint) pace.troubleMinutes += minutes;
  else if (rolledM(pace) > 0) pace.travel.minutes += minutes;
}

function followSlips(pace: Pace, block: number): void {
  if (!pace.slipsSince) {
    pace.slipsSince = true;
    pace.blockBefore = pace.block;
  }
  if (!Number.isNaN(block)) pace.block = block;
}

/** Metres rolled so far, in whole ones. */
const rolledM = (pace: Pace): number => pace.rolling.isolation.count + pace.rolling.screen.count;

function addMetre(pace: Pace, kind: ExpandedKind | 'travel', metres: number, minutes: number): void {
  if (kind !== pace.kind) {
    pace.kind = kind;
    pace.metreM = pace.metreMinutes = 0;
  }
  if (kind === 'travel') {
    if (rolledM(pace) === 0) return;
    pace.travel.metres += Math.max(0, metres);
    pace.travel.minutes += minutes;
    return;
  }
  pace.metreM += metres;
  pace.metreMinutes += minutes;
  if (pace.metreM < 1) return;
  see(pace.rolling[kind], pace.metreMinutes / pace.metreM);
  pace.metreM = pace.metreMinutes = 0;
}

/** Minutes and their variance. */
interface Guess {
  mean: number;
  variance: number;
}

/** `times` more of what was seen: the spread of each, and of the mean of those seen. */
function more(state: Seen, times: number, usual: { mean: number; sigma: number }): Guess {
  if (times === 0) return { mean: 0, variance: 0 };
  if (state.count === 0) return { mean: times * usual.mean, variance: (times * usual.sigma) ** 2 };
  const each = mean(state);
  const spread = state.count > 1 ? Math.max(0, state.squares / state.count - each * each) : (0.3 * each) ** 2;
  const least = (LEAST_SIGMA * times * each) ** 2;
  return { mean: times * each, variance: times * spread + (times * times * spread) / state.count + least };
}

/** Metres of a joint that are left below its tool. */
function openBelow(run: Run, joint: Joint): number {
  let least = Infinity;
  for (const tool of joint.recipe!.tools) {
    const { expanded } = run.sweep.tallies[joint.index]!;
    let at = Math.max(joint.from, run.toolDepths[tool]!);
    let open = 0;
    for (;;) {
      const from = firstOutside(expanded, at, joint.from, joint.to);
      if (Number.isNaN(from)) break;
      let to = joint.to;
      for (let i = 0; i < expanded.length; i += 2) {
        if (expanded[i]! > from) {
          to = Math.min(to, expanded[i]!);
          break;
        }
      }
      open += to - from;
      at = to;
    }
    least = Math.min(least, open);
  }
  return least;
}

function rollingGuess(run: Run, kind: ExpandedKind, metres: number): Guess {
  const { pace, job } = run;
  if (pace.rolling[kind].count > 0) return more(pace.rolling[kind], metres, { mean: 0, sigma: 0 });
  const other: ExpandedKind = kind === 'isolation' ? 'screen' : 'isolation';
  const bounds = job.recipes[other]!.feedMaxMPerMin / job.recipes[kind]!.feedMaxMPerMin;
  const scale = Number.isFinite(bounds) && bounds > 0 ? bounds : 1;
  const guess = more(pace.rolling[other], metres, { mean: 0, sigma: 0 });
  const mean = guess.mean * scale;
  return { mean, variance: guess.variance * scale * scale + (OTHER_KIND_SIGMA * mean) ** 2 };
}

/** The way between the joints; one that has hardly been seen yet is as unsure as it is long. */
function travelGuess({ travel }: Pace, metres: number): Guess {
  const isSeen = travel.metres >= 1;
  const mean = metres * (isSeen ? travel.minutes / travel.metres : USUAL_TRAVEL_MIN_PER_M);
  return { mean, variance: ((isSeen ? TRAVEL_SIGMA : 1) * mean) ** 2 };
}

function connectionsWithin(run: Run, metres: number): number {
  const { pace } = run;
  const stand = pace.stand.count > 0 ? pace.stand.sum / pace.stand.count : USUAL_STAND_M;
  const low = Number.isNaN(pace.blockLow) ? USUAL_LOW_M : pace.blockLow;
  const room = Number.isNaN(pace.block) ? stand / 2 : Math.max(0, pace.block - low);
  return metres <= room ? 0 : Math.ceil((metres - room) / stand);
}

/** From what is left: `isolation` and `screen` metres to roll, `travel` metres to go down beside them. */
function rangeOf(run: Run, left: Record<ExpandedKind, number>, travel: number): { fromMs: number; toMs: number } {
  const { pace } = run;
  const toRoll = left.isolation + left.screen;
  const trouble = (pace.troubleMinutes / rolledM(pace)) * toRoll;
  const parts: Guess[] = [
    travelGuess(pace, travel),
    more(pace.connection, connectionsWithin(run, toRoll + travel), USUAL_CONNECTION),
    { mean: trouble, variance: trouble * trouble },
  ];
  for (const kind of ['isolation', 'screen'] as const) {
    if (left[kind] > 0) parts.push(rollingGuess(run, kind, left[kind]));
  }
  const mean = parts.reduce((sum, part) => sum + part.mean, 0);
  const sigma = Math.sqrt(parts.reduce((sum, part) => sum + part.variance, 0));
  return {
    fromMs: Math.round(run.lastMs + Math.max(0, mean - Z90 * sigma) * MS_PER_MIN),
    toMs: Math.round(run.lastMs + (mean + Z90 * sigma) * MS_PER_MIN),
  };
}

/** When the joint at work and the whole trip will be done; null until three metres have been rolled, or where nothing is left. */
export function finishNow(run: Run): FinishNow {
  const { pace, job, work } = run;
  if (rolledM(pace) < ENOUGH_M || Number.isNaN(run.endDepth.depth)) return { joint: null, trip: null };
  const left: Record<ExpandedKind, number> = { isolation: 0, screen: 0 };
  let joint: FinishNow['joint'] = null;
  let end = -Infinity;
  const at = work.joint >= 0 ? work.joint : work.focusJoint;
  for (const one of job.joints) {
    if (!one.recipe || one.requiredM === 0) continue;
    const open = openBelow(run, one);
    if (!(open > 0)) continue;
    const kind = one.kind as ExpandedKind;
    left[kind] += open;
    // The end of the string has to go as far as the tool that reaches the end of the joint first.
    const below = Math.min(...one.recipe.tools.map((tool) => one.to - run.toolDepths[tool]!));
    end = Math.max(end, below);
    if (one.index !== at) continue;
    const only: Record<ExpandedKind, number> = { isolation: 0, screen: 0 };
    only[kind] = open;
    joint = rangeOf(run, only, Math.max(0, below - open));
  }
  if (end === -Infinity) return { joint: null, trip: null };
  return { joint, trip: rangeOf(run, left, Math.max(0, end - left.isolation - left.screen)) };
}
