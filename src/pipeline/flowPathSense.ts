/**
 * Which path is open: the flow says which one should be, the readings say which one is. Each path has its own relation of
 * pressure and flow; in a settled stretch they are asked once which of the two they fit.
 *
 *   low ──── flow reaches `shiftsAt`, the valve shifts ────▶ high
 *    ▲                                                        │
 *    └──────────── bled off, the valve goes back ─────────────┘
 *
 * V1 Where both relations fit, the flow decides. Where neither does, the path is not known and nothing is raised: the plan's
 *    nozzles are not those in the string, or something else has changed.
 * V2 The high path can only be open once the flow has been up to `shiftsAt` since the low one was last seen.
 * V3 A relation that did not fit where it should have is not believed where it should not.
 * V4 Nozzles that this run itself has shown tell against a path whatever the plan's areas are: by P / Q², losses taken off.
 */
import type { SteadyFlow } from './steadyFlow.ts';

export type FlowPathName = 'low' | 'high';
type Seen = 'unseen' | 'fits' | 'does not fit';

/** A settled stretch in which the flow left no doubt of the path. */
interface Shown {
  readonly flow: number;
  readonly pressure: number;
  readonly losses: LossRange;
}

/** As little and as much as the losses may be, kPa; fast: turbulent, where they err alike at one flow and another. */
export interface LossRange {
  readonly leastKpa: number;
  readonly mostKpa: number;
  readonly fast: boolean;
}

export interface FlowPathSense {
  /** By the flow alone; null before any. */
  expected: FlowPathName | null;
  /** By the readings of the last settled stretch; null: not known. */
  path: FlowPathName | null;
  /** One relation alone fits it, or the flow leaves no doubt. */
  isSure: boolean;
  /** The stretch that was asked, and its flow. */
  stretch: number;
  askedFlow: number;
  /** Whether each relation fitted where it should. */
  seen: Record<FlowPathName, Seen>;
  shown: Record<FlowPathName, Shown | null>;
  /** The flow has been up to `shiftsAt` since the low path was last seen. */
  mayBeHigh: boolean;
  /** The pumps have been off since the flow was last up there. */
  bledOff: boolean;
  /** When the flow came to the side of `shiftsAt` where it is now, ms. */
  sideSinceMs: number;
  isAbove: boolean;
  fault: 'none' | 'not shifted' | 'not reset';
  faultSinceMs: number;
}

/** What the two relations make of a flow, and by how much a reading may be off them; kPa. */
export interface Relations {
  readonly lowKpa: number;
  readonly highKpa: number;
  readonly lowOffKpa: number;
  readonly highOffKpa: number;
  readonly losses: LossRange;
}

/** Flow readings this near to `shiftsAt` do not tell on which side of it they are. */
const AT_SHIFT_SHARE = 0.01;
/** Well below `shiftsAt` the valve has gone back by itself; between, it may stand either way. */
const BACK_SHARE = 0.5;
/** Bled off: hardly any flow, for this long. */
const BLED_OFF_MS = 5_000;
/** A relation is left by this much more than a reading may be off, before that is held against it. */
const CLEARLY = 1.25;
/** P / Q² of one path differs by this much at least from that of another; noise of both readings makes less. */
const OTHER_NOZZLES = 1.1;
/** A stretch at less than this share of the flow that was shown is not kept: the losses weigh more there. */
const KEPT_FLOW_SHARE = 0.8;
/** A stretch that begins with the flow of the one before was begun by the pressure. */
const SAME_FLOW = 0.05;

export function createFlowPathSense(): FlowPathSense {
  return {
    expected: null,
    path: null,
    isSure: false,
    stretch: -1,
    askedFlow: Number.NaN,
    seen: { low: 'unseen', high: 'unseen' },
    shown: { low: null, high: null },
    mayBeHigh: true,
    bledOff: false,
    sideSinceMs: Number.NaN,
    isAbove: false,
    fault: 'none',
    faultSinceMs: Number.NaN,
  };
}

/** Whether the flow alone says which path is open. */
export function isExpectedSure(state: FlowPathSense, flow: number, shiftsAt: number): boolean {
  return state.expected === 'low' || flow >= shiftsAt * (1 - AT_SHIFT_SHARE);
}

/** Follows the flow: every sample. `offSinceMs`: since when the pumps are off, NaN while they are on. */
export function followFlow(
  state: FlowPathSense,
  atMs: number,
  flow: number,
  offSinceMs: number,
  shiftsAt: number,
): void {
  if (atMs - offSinceMs >= BLED_OFF_MS) {
    state.bledOff = true;
    state.askedFlow = Number.NaN;
  }
  if (Number.isNaN(flow)) return;
  const isAbove = flow >= shiftsAt;
  if (isAbove !== state.isAbove || Number.isNaN(state.sideSinceMs)) {
    state.isAbove = isAbove;
    state.sideSinceMs = atMs;
  }
  if (flow >= shiftsAt * (1 - AT_SHIFT_SHARE)) {
    state.mayBeHigh = true;
    state.bledOff = false;
  }
  if (isAbove) state.expected = 'high';
  else if (flow < BACK_SHARE * shiftsAt || state.expected === null) state.expected = 'low';
}

/** Whether a settled stretch has to be held against the relations: it is new, or may show a fault of the valve. */
export function asksRelations(state: FlowPathSense, steady: SteadyFlow, shiftsAt: number): boolean {
  return steady.stretch !== state.stretch || mayBeFault(state, steady.flow, shiftsAt) !== 'none';
}

/** Asks a settled stretch once which relation it fits. `isDrifting`: what has drifted away goes by the flow. */
export function sensePath(
  state: FlowPathSense,
  steady: SteadyFlow,
  shiftsAt: number,
  relations: Relations,
  isDrifting: boolean,
): void {
  const isNew = steady.stretch !== state.stretch;
  const sameFlow = Math.abs(steady.flow / state.askedFlow - 1) < SAME_FLOW;
  if (isNew) {
    state.stretch = steady.stretch;
    state.askedFlow = steady.flow;
    if (!isDrifting) askPath(state, steady, shiftsAt, relations, sameFlow);
    else if (isExpectedSure(state, steady.flow, shiftsAt)) state.path = state.expected;
    if (isDrifting) state.isSure = false;
  }
  const fault = isDrifting ? 'none' : faultOf(state, steady, shiftsAt, relations);
  if (fault !== 'none' && state.fault !== fault) state.faultSinceMs = Math.max(steady.sinceMs, state.sideSinceMs);
  state.fault = fault;
  if (isNew && !sameFlow && !isDrifting && fault === 'none') keepShown(state, steady, shiftsAt, relations);
}

/** What the nozzles of each path make on this run, where the flow leaves no doubt which it is. */
function keepShown(state: FlowPathSense, { flow, pressure }: SteadyFlow, shiftsAt: number, of: Relations): void {
  const at: FlowPathName = flow >= shiftsAt ? 'high' : 'low';
  const isNear = Math.abs(flow / shiftsAt - 1) <= AT_SHIFT_SHARE;
  if (isNear || state.expected !== at || (state.path !== null && state.path !== at)) return;
  if (flow < KEPT_FLOW_SHARE * (state.shown[at]?.flow ?? 0)) return;
  state.shown[at] = { flow, pressure, losses: of.losses };
}

/** Whether what this run has shown of a path tells against it being open now (V4). */
function isToldAgainst(
  state: FlowPathSense,
  path: FlowPathName,
  { flow, pressure }: SteadyFlow,
  of: Relations,
): boolean {
  const shown = state.shown[path];
  if (!shown) return false;
  const squares = (flow / shown.flow) ** 2;
  const { leastKpa, mostKpa, fast } = of.losses;
  const alike = fast && shown.losses.fast;
  const ratio = (nowLossKpa: number, shownLossKpa: number): number =>
    (pressure - nowLossKpa) / squares / (shown.pressure - shownLossKpa);
  const one = ratio(mostKpa, alike ? shown.losses.mostKpa : shown.losses.leastKpa);
  const other = ratio(leastKpa, alike ? shown.losses.leastKpa : shown.losses.mostKpa);
  if (path === 'low') return Math.min(one, other) > OTHER_NOZZLES;
  return Math.max(one, other) < 1 / OTHER_NOZZLES;
}

function askPath(
  state: FlowPathSense,
  steady: SteadyFlow,
  shiftsAt: number,
  relations: Relations,
  sameFlow: boolean,
): void {
  const { flow, pressure } = steady;
  const fits = {
    low: Math.abs(pressure - relations.lowKpa) <= relations.lowOffKpa,
    high: Math.abs(pressure - relations.highKpa) <= relations.highOffKpa,
  };
  const isBelow = flow < shiftsAt * (1 - AT_SHIFT_SHARE);
  learnSeen(state, flow, shiftsAt, fits.low, fits.high);
  // At an unchanged flow the valve can only shift up late, or go back late: what else steps is no valve.
  const shiftsLate = state.path === 'low' && fits.high && state.mayBeHigh;
  const goesBackLate = state.path === 'high' && fits.low && isBelow;
  const isKept = sameFlow && state.path !== null && !shiftsLate && !goesBackLate;
  if (!isKept) state.path = pathOf(state, fits, isBelow);
  if (!isKept && state.path !== null && fits[state.path] && isToldAgainst(state, state.path, steady, relations))
    state.path = null;
  state.isSure =
    state.path !== null && fits[state.path] && (fits.low !== fits.high || isExpectedSure(state, flow, shiftsAt));
}

function pathOf(
  state: FlowPathSense,
  fits: Readonly<Record<FlowPathName, boolean>>,
  isBelow: boolean,
): FlowPathName | null {
  if (fits.low && fits.high) return state.expected;
  if (!fits.low && !fits.high) return null;
  if (fits.low && isBelow) state.mayBeHigh = false;
  if (fits.high && !state.mayBeHigh) return 'low';
  if (state.seen.low === 'does not fit' && fits.high === isBelow) return null;
  return fits.low ? 'low' : 'high';
}

/** Whether a relation fits where it should: the low one below `shiftsAt`, the high one above it. */
function learnSeen(state: FlowPathSense, flow: number, shiftsAt: number, fitsLow: boolean, fitsHigh: boolean): void {
  const { seen } = state;
  const fitsNone = !fitsLow && !fitsHigh;
  if (flow > shiftsAt * (1 + AT_SHIFT_SHARE)) {
    if (fitsHigh) seen.high = 'fits';
    else if (fitsNone && seen.high === 'unseen') seen.high = 'does not fit';
  } else if (flow < shiftsAt * (1 - AT_SHIFT_SHARE)) {
    if (fitsLow) seen.low = 'fits';
    else if (seen.low === 'unseen' && (fitsNone || seen.high === 'unseen')) seen.low = 'does not fit';
  }
}

/** What the path and the flow together would be, were the readings clear. */
function mayBeFault(state: FlowPathSense, flow: number, shiftsAt: number): FlowPathSense['fault'] {
  if (state.seen.low === 'does not fit' || state.seen.high === 'does not fit') return 'none';
  // A fault that stands is kept up to `shiftsAt` itself.
  const above = state.fault === 'not shifted' ? shiftsAt : shiftsAt * (1 + AT_SHIFT_SHARE);
  if (state.path === 'low' && flow >= above) return 'not shifted';
  const below = state.fault === 'not reset' ? shiftsAt : shiftsAt * (1 - AT_SHIFT_SHARE);
  const isLow = flow <= below && state.bledOff;
  return isLow && state.path === 'high' && state.seen.high === 'fits' ? 'not reset' : 'none';
}

function faultOf(
  state: FlowPathSense,
  { flow, pressure }: SteadyFlow,
  shiftsAt: number,
  { lowKpa, highKpa, lowOffKpa, highOffKpa }: Relations,
): FlowPathSense['fault'] {
  const fault = mayBeFault(state, flow, shiftsAt);
  const off =
    fault === 'not shifted' ? Math.abs(pressure - highKpa) / highOffKpa : Math.abs(pressure - lowKpa) / lowOffKpa;
  return off > CLEARLY ? fault : 'none';
}
