/**
 * Flow out against flow in. A flow-out sensor is hardly ever calibrated, so what counts is its ratio to flow in as this run has
 * shown it while everything was steady, at about the same rate.
 *
 * B1 Judged only while flow in has been steady for a minute: not while pumps ramp, and not for a while after they started.
 * B2 The ratio is learnt per band of flow in; a ratio that is already off teaches nothing.
 * B3 A reading that does not follow the pumps at all, or has never moved, says nothing.
 */

/** Pumps on, L/min (common practice). */
const PUMPED_L_PER_MIN = 60;
/** Steady: within this share of the smoothed flow, for so long. */
const STEADY_SHARE = 0.05;
const STEADY_MS = 60_000;
/** Flow in is smoothed over about this long, the ratio as well, ms. */
const SMOOTH_MS = 15_000;
/** Width of a band of flow in, on its logarithm; 64 bands from 60 L/min up. */
const BAND = 0.12;
const BANDS = 64;
/** The ratio of a band is known after so long of steady flow, and follows slow drift of the sensor over the other, ms. */
const LEARNT_MS = 60_000;
const DRIFT_MS = 1_800_000;
/** Off by more than this share of the limit, the ratio teaches nothing. */
const TEACHES_SHARE = 0.4;
/** Longest time that one sample stands for, ms. */
const LONGEST_MS = 10_000;

export interface FlowBalance {
  flow: number;
  atMs: number;
  steadyMs: number;
  /** Flow out when the present steady stretch began, at the last sample of the one before, and whether it has moved since. */
  lastOut: number;
  restOut: number;
  moves: boolean;
  ratio: number;
  ratios: number[];
  learntMs: number[];
  /** Share by which flow out is above (+) or below (−) what it should be; 0 while it is not judged. */
  off: number;
}

export function createFlowBalance(): FlowBalance {
  return {
    flow: Number.NaN,
    atMs: Number.NaN,
    steadyMs: Number.NaN,
    lastOut: Number.NaN,
    restOut: Number.NaN,
    moves: false,
    ratio: Number.NaN,
    ratios: new Array<number>(BANDS).fill(Number.NaN),
    learntMs: new Array<number>(BANDS).fill(0),
    off: 0,
  };
}

function rest(state: FlowBalance): void {
  state.steadyMs = Number.NaN;
  state.ratio = Number.NaN;
  state.off = 0;
}

/** Works one pair of readings in; `limit`: share that matters. `out` in any unit that grows with the flow. */
export function advanceFlowBalance(state: FlowBalance, atMs: number, flowIn: number, out: number, limit: number): void {
  if (Number.isNaN(flowIn) || Number.isNaN(out)) return;
  const passed = Math.min(LONGEST_MS, atMs - state.atMs);
  const held = atMs - state.atMs <= LONGEST_MS;
  state.atMs = atMs;
  const outBefore = state.lastOut;
  state.lastOut = out;
  if (flowIn < PUMPED_L_PER_MIN || !held) {
    state.flow = flowIn;
    state.moves = false;
    state.restOut = out;
    rest(state);
    return;
  }
  if (out !== outBefore) state.moves = true;
  const gain = passed / (SMOOTH_MS + passed);
  state.flow += gain * (flowIn - state.flow);
  if (!(Math.abs(flowIn - state.flow) <= STEADY_SHARE * state.flow)) rest(state);
  else if (Number.isNaN(state.steadyMs)) state.steadyMs = atMs;
  if (!(atMs - state.steadyMs >= STEADY_MS) || !isAlive(state, out)) {
    state.off = 0;
    return;
  }
  const ratio = out / state.flow;
  state.ratio = Number.isNaN(state.ratio) ? ratio : state.ratio + gain * (ratio - state.ratio);
  judge(state, passed, limit);
}

/** A sensor that reads with the pumps on what it reads with them off, or nothing at all, is not one to go by. */
const isAlive = (state: FlowBalance, out: number): boolean => state.moves && out > 0 && out !== state.restOut;

function judge(state: FlowBalance, passedMs: number, limit: number): void {
  const band = Math.min(BANDS - 1, Math.floor(Math.log(state.flow / PUMPED_L_PER_MIN) / BAND));
  const known = state.ratios[band]!;
  if (state.learntMs[band]! < LEARNT_MS) {
    state.off = 0;
    state.ratios[band] = Number.isNaN(known) ? state.ratio : known + 0.1 * (state.ratio - known);
    state.learntMs[band]! += passedMs;
    return;
  }
  state.off = state.ratio / known - 1;
  if (Math.abs(state.off) <= TEACHES_SHARE * limit) {
    state.ratios[band] = known + (passedMs / (DRIFT_MS + passedMs)) * (state.ratio - known);
  }
}
