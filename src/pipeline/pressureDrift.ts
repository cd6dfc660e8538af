/**
 * Whether the two pressures at the tool drift apart. The standpipe is held against what it should read at this flow: by the
 * calibration where the rate was circulated free, else by what the first steady minute at the rate made of the model. An
 * error of the plan that does not change is therefore no drift, and where the first minute is far from the plan, the plan is of
 * other nozzles or another string: nothing is judged on it.
 *
 * A cumulative sum finds where a drift began, the median of the last points says how far it has come: both must agree.
 */
import { advanceCusum, type Cusum, createCusum } from '../engineering/cusum.ts';
import { median, robustSigma } from '../engineering/robust.ts';
import { EVENTS } from '../events.ts';
import type { FlowPathName } from './flowPathSense.ts';
import { SAME_RATE } from './lossCalibration.ts';

export type DriftVerdict = 'none' | 'washout' | 'plugging';

/** What the standpipe read at one rate, as a share of nozzles and model together. */
interface Baseline {
  readonly path: FlowPathName;
  flow: number;
  /** Nozzles and model together at that flow, kPa. */
  wholeKpa: number;
  shares: number[];
  /** Their median and 1σ of one of them; NaN while there are too few. */
  share: number;
  sigma: number;
}

/** What the standpipe should read, kPa. */
export interface Expectation {
  readonly kpa: number;
  /** By how much that may be wrong whatever is read, and 1σ of a point about it, kPa. */
  readonly offKpa: number;
  readonly sigmaKpa: number;
}

export interface PressureDrift {
  baselines: Baseline[];
  cusum: Cusum;
  /** When each sum last left 0, ms. */
  upSinceMs: number;
  downSinceMs: number;
  /** The last distances, as shares of the pressure at the tool. */
  recent: number[];
  /** Mean change from one point to the next. */
  change: number;
  changes: number;
  verdict: DriftVerdict;
  sinceMs: number;
  judgedMs: number;
  /** Median of the recent distances, and the pressures of the last point: from the standpipe and as it was by flow, kPa. */
  share: number;
  fromStandpipeKpa: number;
  byFlowKpa: number;
}

/** Ten seconds of steady circulation, with what is expected of it. */
export interface DriftPoint {
  readonly path: FlowPathName;
  readonly fromMs: number;
  readonly toMs: number;
  readonly flow: number;
  readonly standpipeKpa: number;
  readonly nozzleKpa: number;
  readonly modelKpa: number;
  /** By the calibration where this rate was circulated free; else null. */
  readonly calibrated: Expectation | null;
}

/** Shares of nozzles and model together that the standpipe of the planned string can read, sound (common practice). */
const PLANNED_SHARE = { from: 0.5, to: 2 } as const;
const BASELINE_POINTS = 6;
const MOST_BASELINES = 24;
/** A baseline serves flows as near as this, in e-folds. */
const SERVES = 0.14;
/** Pressure of nozzles and turbulent losses together grows with flow to about this power. */
const TURBULENT_EXPONENT = 1.95;
/** Points that say how far a drift has come. */
const RECENT = 3;
/** Changes from point to point that say how noisy they are. */
const CHANGES_MEMORY = 30;
/** Standard deviations of one point that the median must be away. */
const SIGMAS = 4.5;
/** Mean |difference| of two normal values over their σ: 2/√π. */
const SIGMA_PER_CHANGE = Math.sqrt(Math.PI) / 2;
/** Allowance and decision of the sums, as shares of the limit. */
const CUSUM = { allowance: 0.25, decision: 0.5 } as const;
/** Further apart than this is another unit or another sensor. */
const NO_DRIFT_ABOVE = 3;
/** Less flow, and less pressure, than this says nothing: L/min and kPa. */
const LEAST = { flow: 180, nozzleKpa: 1000 } as const;
/** A verdict outlives the pumps being off for a stand connection, and not much more. */
const VERDICT_LASTS_MS = 600_000;

export function createPressureDrift(limitShare: number): PressureDrift {
  return {
    baselines: [],
    cusum: createSum(limitShare),
    upSinceMs: Number.NaN,
    downSinceMs: Number.NaN,
    recent: [],
    change: 0,
    changes: 0,
    verdict: 'none',
    sinceMs: Number.NaN,
    judgedMs: Number.NaN,
    share: Number.NaN,
    fromStandpipeKpa: Number.NaN,
    byFlowKpa: Number.NaN,
  };
}

/** A limit that is not judged leaves sums that never decide. */
function createSum(limitShare: number): Cusum {
  const limit = Number.isFinite(limitShare) ? limitShare : 1;
  return createCusum({
    target: 0,
    allowance: CUSUM.allowance * limit,
    decision: CUSUM.decision * limit,
    sides: 'both',
  });
}

/** What drifts teaches nothing, and is no valve. */
export const isDrifting = (state: PressureDrift): boolean => state.verdict !== 'none';

/** What was judged until now says nothing of what comes. */
export function forgetDrift(state: PressureDrift): void {
  state.verdict = 'none';
  state.recent.length = 0;
  state.share = Number.NaN;
}

/** Time that passes without a point: a verdict that nothing has confirmed for long is dropped. */
export function ageDrift(state: PressureDrift, atMs: number): void {
  if (state.verdict !== 'none' && atMs - state.judgedMs > VERDICT_LASTS_MS) forgetDrift(state);
}

/** Works one point in. */
export function advanceDrift(state: PressureDrift, point: DriftPoint, limitShare: number): void {
  if (point.flow < LEAST.flow || point.nozzleKpa < LEAST.nozzleKpa) return;
  const expected = point.calibrated ?? byBaseline(state, point);
  if (expected === null) return;
  const share = (point.standpipeKpa - expected.kpa) / point.nozzleKpa;
  if (Math.abs(share) > NO_DRIFT_ABOVE) return;
  state.judgedMs = point.toMs;
  state.byFlowKpa = point.nozzleKpa;
  state.fromStandpipeKpa = point.nozzleKpa + point.standpipeKpa - expected.kpa;
  follow(state, share);
  sum(state, point, share);
  const sigma = Math.max(SIGMA_PER_CHANGE * state.change, expected.sigmaKpa / point.nozzleKpa);
  judge(state, Math.max(limitShare, SIGMAS * sigma) + expected.offKpa / point.nozzleKpa, limitShare);
}

/** What the standpipe should read by the first minute at this rate; null while that is still being learnt. */
function byBaseline(state: PressureDrift, point: DriftPoint): Expectation | null {
  const wholeKpa = point.nozzleKpa + point.modelKpa;
  const share = point.standpipeKpa / wholeKpa;
  const nearest = nearestBaseline(state, point);
  if (nearest && !Number.isNaN(nearest.share)) {
    if (!isPlanned(nearest)) return null;
    // From its rate to this one the pressure goes as the model says, or as turbulent flow does: the truth lies about there.
    const byModel = wholeKpa / nearest.wholeKpa;
    const byFlow = (point.flow / nearest.flow) ** TURBULENT_EXPONENT;
    const kpa = (nearest.share * nearest.wholeKpa * (byModel + byFlow)) / 2;
    return {
      kpa,
      offKpa: (nearest.share * nearest.wholeKpa * Math.abs(byModel - byFlow)) / 2,
      sigmaKpa: nearest.sigma * wholeKpa,
    };
  }
  if (isDrifting(state)) return null;
  if (nearest) learnBaseline(nearest, point.flow, wholeKpa, share);
  else if (state.baselines.length < MOST_BASELINES) {
    const { path, flow } = point;
    state.baselines.push({ path, flow, wholeKpa, shares: [share], share: Number.NaN, sigma: Number.NaN });
  }
  return null;
}

/** One that is finished and serves this flow, else one that is being learnt at this very rate. */
function nearestBaseline(state: PressureDrift, { path, flow }: DriftPoint): Baseline | undefined {
  let nearest: Baseline | undefined;
  let apart = SERVES;
  for (const one of state.baselines) {
    const distance = Math.abs(Math.log(one.flow / flow));
    if (one.path !== path || distance > (Number.isNaN(one.share) ? SAME_RATE : apart)) continue;
    if (nearest && Number.isNaN(one.share) && !Number.isNaN(nearest.share)) continue;
    nearest = one;
    apart = Number.isNaN(one.share) ? SERVES : distance;
  }
  return nearest;
}

function learnBaseline(one: Baseline, flow: number, wholeKpa: number, share: number): void {
  one.shares.push(share);
  one.flow += (flow - one.flow) / one.shares.length;
  one.wholeKpa += (wholeKpa - one.wholeKpa) / one.shares.length;
  if (one.shares.length < BASELINE_POINTS) return;
  one.share = median([...one.shares]);
  one.sigma = robustSigma(one.shares);
}

function follow(state: PressureDrift, share: number): void {
  const last = state.recent[state.recent.length - 1];
  if (last !== undefined) {
    state.changes = Math.min(CHANGES_MEMORY, state.changes + 1);
    state.change += (Math.abs(share - last) - state.change) / state.changes;
  }
  state.recent.push(share);
  if (state.recent.length > RECENT) state.recent.shift();
  state.share = median([...state.recent]);
}

function sum(state: PressureDrift, point: DriftPoint, share: number): void {
  const { up, down } = state.cusum;
  state.cusum = advanceCusum(state.cusum, share);
  if (up === 0 && state.cusum.up > 0) state.upSinceMs = point.fromMs;
  if (down === 0 && state.cusum.down > 0) state.downSinceMs = point.fromMs;
}

function judge(state: PressureDrift, threshold: number, limitShare: number): void {
  const { share, verdict } = state;
  if (state.recent.length < RECENT) return;
  if (verdict !== 'none') {
    const back = threshold * (1 - EVENTS[verdict].deadBand);
    if (verdict === 'washout' ? share < -back : share > back) return;
    state.verdict = 'none';
    state.cusum = createSum(limitShare);
    state.upSinceMs = state.downSinceMs = Number.NaN;
    return;
  }
  const { alarm } = state.cusum;
  if (share < -threshold && alarm === 'down') {
    state.verdict = 'washout';
    state.sinceMs = state.downSinceMs;
  } else if (share > threshold && alarm === 'up') {
    state.verdict = 'plugging';
    state.sinceMs = state.upSinceMs;
  }
}

const isPlanned = ({ share }: Baseline): boolean => share >= PLANNED_SHARE.from && share <= PLANNED_SHARE.to;

/** Whether the readings are so far from what the plan's nozzles and fluid make that no drift can be told from it. */
export function isPlanFarOff({ baselines }: PressureDrift): boolean {
  return baselines.some((one) => !Number.isNaN(one.share) && !isPlanned(one));
}
