/**
 * A rise of pressure that the flow does not explain: at a flow no higher than some moments ago the pressure is much higher
 * now. No relation of pressure and flow is needed for that, and a rise of flow is never taken for it. Pressure lags a flow
 * that changes: only a steady flow is compared with, and nothing is judged while the flow comes up.
 */

export interface UnexplainedRise {
  /** Steady flow and its pressure in the last minutes, means of some seconds each, oldest first. */
  times: number[];
  flows: number[];
  kpas: number[];
  blockMs: number;
  blockFlow: number;
  blockKpa: number;
  blockSize: number;
  /** Smallest and largest flow of the present block, and the mean of the last one, steady or not. */
  blockLow: number;
  blockHigh: number;
  lastFlow: number;
  /** The rise that stands: since when (NaN for none), over which pressure, in how many samples. */
  sinceMs: number;
  fromKpa: number;
  samples: number;
}

const BLOCK_MS = 5_000;
/** How far back a pressure may lie to be compared with, and how near, ms. */
const LONGEST_BACK_MS = 120_000;
const SHORTEST_BACK_MS = 8_000;
/** The rise: at least this much and this ratio (common practice). */
const RISE_KPA = 700;
const RISE_RATIO = 1.5;
/** "No higher flow than then" as a share and an amount, L/min: what a flow reading wavers by. */
const SAME_FLOW_SHARE = 0.1;
const SAME_FLOW_L_PER_MIN = 10;

export function createUnexplainedRise(): UnexplainedRise {
  return {
    times: [],
    flows: [],
    kpas: [],
    blockMs: Number.NaN,
    blockFlow: 0,
    blockKpa: 0,
    blockSize: 0,
    blockLow: Infinity,
    blockHigh: 0,
    lastFlow: Number.NaN,
    sinceMs: Number.NaN,
    fromKpa: Number.NaN,
    samples: 0,
  };
}

/** A break in the data, or nothing to be looked for: what was before says nothing. */
export function forgetRise(state: UnexplainedRise): void {
  state.times.length = state.flows.length = state.kpas.length = 0;
  state.lastFlow = Number.NaN;
  restartBlock(state);
  endRise(state);
}

function restartBlock(state: UnexplainedRise): void {
  state.blockMs = Number.NaN;
  state.blockFlow = state.blockKpa = state.blockSize = state.blockHigh = 0;
  state.blockLow = Infinity;
}

export function endRise(state: UnexplainedRise): void {
  state.sinceMs = Number.NaN;
  state.samples = 0;
}

/** Whether a rise stands at this sample; it is then counted. Flow L/min, pressure kPa, both read. */
export function isUnexplained(state: UnexplainedRise, atMs: number, flow: number, kpa: number): boolean {
  const least = leastAtNoLessFlow(state, atMs, flow);
  const comesUp = flow > state.lastFlow * (1 + SAME_FLOW_SHARE) + SAME_FLOW_L_PER_MIN;
  if (comesUp || !(kpa - least >= RISE_KPA && kpa >= RISE_RATIO * least)) {
    endRise(state);
    return false;
  }
  if (Number.isNaN(state.sinceMs)) state.sinceMs = atMs;
  state.samples += 1;
  state.fromKpa = least;
  return true;
}

function leastAtNoLessFlow(state: UnexplainedRise, atMs: number, flow: number): number {
  let least = Number.NaN;
  const need = Math.max(SAME_FLOW_L_PER_MIN, flow * (1 - SAME_FLOW_SHARE) - SAME_FLOW_L_PER_MIN);
  // While a rise stands it is held against what was before it.
  const untilMs = (Number.isNaN(state.sinceMs) ? atMs : state.sinceMs) - SHORTEST_BACK_MS;
  for (let i = state.times.length - 1; i >= 0; i -= 1) {
    const at = state.times[i]!;
    if (atMs - at > LONGEST_BACK_MS) break;
    if (at > untilMs || state.flows[i]! < need) continue;
    if (!(state.kpas[i]! >= least)) least = state.kpas[i]!;
  }
  return least;
}

/** Keeps a sample for the comparisons to come. */
export function rememberFlow(state: UnexplainedRise, atMs: number, flow: number, kpa: number): void {
  if (Number.isNaN(state.blockMs)) state.blockMs = atMs;
  state.blockFlow += flow;
  state.blockKpa += kpa;
  state.blockSize += 1;
  if (flow < state.blockLow) state.blockLow = flow;
  if (flow > state.blockHigh) state.blockHigh = flow;
  if (atMs - state.blockMs < BLOCK_MS - 1_000) return;
  const mean = state.blockFlow / state.blockSize;
  const waver = SAME_FLOW_SHARE * mean + SAME_FLOW_L_PER_MIN;
  const steady = state.blockHigh - state.blockLow <= waver && Math.abs(mean - state.lastFlow) <= waver;
  state.lastFlow = mean;
  if (steady) keep(state, atMs, mean, state.blockKpa / state.blockSize);
  restartBlock(state);
}

function keep(state: UnexplainedRise, atMs: number, flow: number, kpa: number): void {
  state.times.push(atMs);
  state.flows.push(flow);
  state.kpas.push(kpa);
  if (state.times.length > LONGEST_BACK_MS / BLOCK_MS + 2) {
    state.times.shift();
    state.flows.shift();
    state.kpas.shift();
  }
}
