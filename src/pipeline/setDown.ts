/**
 * The weight of the free string, measured on this run whenever it turns, or hangs still, clear of any joint at work. What the
 * hookload lacks of it is set down on the tool. Drag is not taken off: it is part of the reading.
 */
import type { Sample } from '../channels.ts';
import type { Run } from './runState.ts';

export interface StringWeight {
  /** kN; NaN until measured. */
  free: number;
  samples: number;
}

/** Readings before the weight counts as measured. */
const ENOUGH_SAMPLES = 5;
const MEMORY = 40;
const FREE_RPM = 5;

export function createStringWeight(): StringWeight {
  return { free: Number.NaN, samples: 0 };
}

export function learnStringWeight(state: StringWeight, run: Run, sample: Sample): void {
  if (run.slips.in || run.work.joint >= 0 || Number.isNaN(sample.hookload)) return;
  if (run.motion.way === 'up') return;
  if (!(sample.rotation > FREE_RPM) && run.motion.way !== 'still') return;
  state.samples += 1;
  const gain = 1 / Math.min(state.samples, MEMORY);
  state.free = Number.isNaN(state.free) ? sample.hookload : state.free + gain * (sample.hookload - state.free);
}

/** Set-down, kN, positive when weight rests on the tool; NaN until the free weight has been measured. */
export function setDownOf(state: StringWeight, sample: Sample): number {
  return state.samples < ENOUGH_SAMPLES ? Number.NaN : state.free - sample.hookload;
}
