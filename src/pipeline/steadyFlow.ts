/**
 * Stretches in which flow and pressure stand: only there does one say anything of the other. A ramp of the pumps, a valve
 * that shifts, a nozzle that plugs at once, each begins a new stretch; what creeps stays within one.
 *
 *   pumps off ── flow ──▶ coming up ── long and even enough ──▶ settled
 *       ▲                    ▲                                    │
 *       └──── no flow ───────┴──── a step of flow or pressure ────┘
 */

export interface SteadyFlow {
  /** When the stretch began, ms; NaN while the pumps are off or nothing is read. */
  sinceMs: number;
  samples: number;
  /** Running means over the last seconds, L/min and kPa. */
  flow: number;
  pressure: number;
  lastMs: number;
  /** Samples in a row that were off the stretch. */
  odd: number;
  /** Grows with every new stretch. */
  stretch: number;
}

/** Flow above which fluid is circulated at all, L/min. */
export const CIRCULATES_L_PER_MIN = 60;
/** A stretch is settled after this long and so many samples: pressure lags the pumps by some seconds (common practice). */
const SETTLED_MS = 8_000;
const SETTLED_SAMPLES = 4;
/** A reading this far off the means does not belong to the stretch: a share, and what noise on a low reading may be. */
const FLOW_OFF = { share: 0.04, lPerMin: 15 } as const;
const PRESSURE_OFF = { share: 0.06, kPa: 150 } as const;
/** One reading may be a spike; two in a row are a step. */
const STEP_AFTER = 2;
/** Means look back over this long. */
const MEMORY_MS = 12_000;
const FEWEST_IN_MEMORY = 4;
/** A hole in the readings longer than this, or than three periods, ends a stretch. */
const BROKEN_AFTER_MS = 15_000;

export function createSteadyFlow(): SteadyFlow {
  return {
    sinceMs: Number.NaN,
    samples: 0,
    flow: Number.NaN,
    pressure: Number.NaN,
    lastMs: Number.NaN,
    odd: 0,
    stretch: 0,
  };
}

/** Nothing circulates, or nothing is known. */
export function stopSteadyFlow(state: SteadyFlow): void {
  state.sinceMs = Number.NaN;
  state.samples = 0;
  state.odd = 0;
}

function begin(state: SteadyFlow, atMs: number, flow: number, pressure: number): void {
  state.sinceMs = atMs;
  state.samples = 1;
  state.flow = flow;
  state.pressure = pressure;
  state.lastMs = atMs;
  state.odd = 0;
  state.stretch += 1;
}

/** Works one pair of readings in, L/min and kPa; returns whether it belongs to the present stretch. */
export function advanceSteadyFlow(
  state: SteadyFlow,
  atMs: number,
  flow: number,
  pressure: number,
  periodMs: number,
): boolean {
  if (atMs - state.lastMs > Math.max(BROKEN_AFTER_MS, 3 * periodMs)) stopSteadyFlow(state);
  if (Number.isNaN(flow) || Number.isNaN(pressure)) return false;
  if (flow < CIRCULATES_L_PER_MIN) {
    stopSteadyFlow(state);
    return false;
  }
  if (Number.isNaN(state.sinceMs)) {
    begin(state, atMs, flow, pressure);
    return true;
  }
  const isOff =
    Math.abs(flow - state.flow) > Math.max(FLOW_OFF.share * state.flow, FLOW_OFF.lPerMin) ||
    Math.abs(pressure - state.pressure) > Math.max(PRESSURE_OFF.share * state.pressure, PRESSURE_OFF.kPa);
  if (isOff) {
    state.odd += 1;
    if (state.odd < STEP_AFTER) return false;
    begin(state, atMs, flow, pressure);
    return true;
  }
  state.odd = 0;
  state.samples += 1;
  state.lastMs = atMs;
  const gain = 1 / Math.min(state.samples, Math.max(FEWEST_IN_MEMORY, MEMORY_MS / periodMs));
  state.flow += gain * (flow - state.flow);
  state.pressure += gain * (pressure - state.pressure);
  return true;
}

export function isSettled(state: SteadyFlow, atMs: number): boolean {
  return atMs - state.sinceMs >= SETTLED_MS && state.samples >= SETTLED_SAMPLES;
}
