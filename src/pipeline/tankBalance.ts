/**
 * Change of the active tank while nothing else changes it. A reference is taken once conditions have settled, and again
 * whenever they change: pumps on, off or at another rate, the string moved by more than a stand.
 *
 * V1 Lines and hole drain back when the pumps stop and fill when they start: nothing is judged until that is over.
 * V2 Pipe that goes in pushes out its own volume, open-ended or closed nobody knows: that much is no gain, and none less on
 *    the way out is a loss.
 * V3 A step that no well can make (a transfer, another tank lined up) moves the reference along.
 */

/** Pumps on, L/min (common practice). */
const PUMPED_L_PER_MIN = 60;
/** Another rate, as a share. */
const OTHER_RATE = 0.1;
/** Until fluid has drained back or the lines are full (common practice), ms. */
const DRAINS_MS = 300_000;
const FILLS_MS = 180_000;
/** The reading is smoothed over about this long, ms. */
const SMOOTH_MS = 30_000;
const LONGEST_MS = 60_000;
/** Faster than any gain or loss that is a matter of minutes, m³/min, and a step at the least, m³. */
const FASTEST_M3_PER_MIN = 10;
const STEP_M3 = 0.6;
/** So many readings in a row on the other side of a step, and it is real. */
const STEP_READINGS = 5;
/** The string has moved: a reference does not hold for further than a stand, m. */
const STAND_M = 30;

export interface TankBalance {
  volume: number;
  atMs: number;
  /** Smoothed flow in, L/min, and the rate that the present conditions began with. */
  flow: number;
  conditionFlow: number;
  settlesMs: number;
  /** Volume and depth that changes are measured from; NaN until settled. */
  reference: number;
  referenceDepth: number;
  stepReadings: number;
  /** Gain and loss beyond what the pipe explains, m³, both at least 0. */
  gain: number;
  loss: number;
}

export function createTankBalance(): TankBalance {
  return {
    volume: Number.NaN,
    atMs: Number.NaN,
    flow: Number.NaN,
    conditionFlow: Number.NaN,
    settlesMs: Number.NaN,
    reference: Number.NaN,
    referenceDepth: Number.NaN,
    stepReadings: 0,
    gain: 0,
    loss: 0,
  };
}

function change(state: TankBalance, atMs: number, flow: number): void {
  state.conditionFlow = flow;
  state.settlesMs = atMs + (flow < PUMPED_L_PER_MIN ? DRAINS_MS : FILLS_MS);
  state.reference = Number.NaN;
  state.gain = state.loss = 0;
}

/**
 * Works one sample in. `flowIn` L/min, NaN: not read, then only the tank is followed. `depth` of the end, m.
 * `displacementM3PerM`: what a metre of pipe may push out, closed-ended.
 */
export function advanceTankBalance(
  state: TankBalance,
  atMs: number,
  volume: number,
  flowIn: number,
  depth: number,
  displacementM3PerM: number,
): void {
  followRate(state, atMs, flowIn);
  if (Number.isNaN(volume) || !followVolume(state, atMs, volume)) return;
  if (atMs < state.settlesMs) return;
  if (Number.isNaN(state.reference) || !(Math.abs(depth - state.referenceDepth) <= STAND_M)) {
    state.reference = state.volume;
    state.referenceDepth = depth;
  }
  const moved = (depth - state.referenceDepth) * displacementM3PerM;
  const by = state.volume - state.reference;
  state.gain = Math.max(0, by - Math.max(0, moved));
  state.loss = Math.max(0, -by - Math.max(0, -moved));
}

function followRate(state: TankBalance, atMs: number, flowIn: number): void {
  if (Number.isNaN(flowIn)) {
    if (Number.isNaN(state.settlesMs)) change(state, atMs, Number.NaN);
    return;
  }
  state.flow = Number.isNaN(state.flow) ? flowIn : state.flow + 0.1 * (flowIn - state.flow);
  const { conditionFlow, flow } = state;
  const offNow = flow < PUMPED_L_PER_MIN;
  const offThen = conditionFlow < PUMPED_L_PER_MIN;
  const same = offNow ? offThen : !offThen && Math.abs(flow - conditionFlow) <= OTHER_RATE * conditionFlow;
  if (!same) change(state, atMs, flow);
}

/** Smooths the reading; false while it stands on the other side of a step that may yet be a spike (V3). */
function followVolume(state: TankBalance, atMs: number, volume: number): boolean {
  const passed = atMs - state.atMs;
  if (Number.isNaN(state.volume)) {
    state.volume = volume;
    state.atMs = atMs;
    return true;
  }
  const off = volume - state.volume;
  if (Math.abs(off) > STEP_M3 + (FASTEST_M3_PER_MIN * Math.min(passed, LONGEST_MS)) / 60_000) {
    state.stepReadings += 1;
    if (state.stepReadings < STEP_READINGS) return false;
    state.reference += off;
    state.volume = volume;
  } else state.volume += (Math.min(passed, LONGEST_MS) / (SMOOTH_MS + Math.min(passed, LONGEST_MS))) * off;
  state.stepReadings = 0;
  state.atMs = atMs;
  return true;
}
