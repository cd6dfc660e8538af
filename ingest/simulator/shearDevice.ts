/** A device that holds a tool until it shears, and a string that gives under what is set down on it. */
import type { Job } from '../../src/plan/job.ts';
import { complianceTo } from './hold.ts';
import type { RigState } from './rig.ts';

export interface ShearDevice {
  /** Of the string's end while its tool stands on it, m. */
  readonly endDepth: number;
  readonly shearsAtKn: number;
  /** When it sheared; NaN: not yet. */
  shearedMs: number;
}

/** Whether the tool stands on the device, which has not sheared. */
export function standsOn(device: ShearDevice | undefined, endDepth: number): device is ShearDevice {
  return device !== undefined && Number.isNaN(device.shearedMs) && endDepth >= device.endDepth;
}

/** What the whole string is pressed together by what is set down now, m. */
export const pressedM = (state: RigState, job: Job): number =>
  state.setDown * complianceTo(job, state.endDepth, state.endDepth);

/**
 * What the block lowers is pressed into a string that stands; lifted clear, it moves again. When the device shears, the tool
 * springs down by what was pressed in, under a block that stands.
 */
export function slackOff(state: RigState, job: Job, device: ShearDevice, metres: number): void {
  const perKn = complianceTo(job, state.endDepth, state.endDepth);
  const left = state.setDown * perKn + metres;
  state.setDown = Math.max(0, left / perKn);
  const sheared = state.setDown >= device.shearsAtKn;
  const moves = sheared ? left : Math.min(0, left);
  state.endDepth += moves;
  state.block -= moves;
  if (!sheared) return;
  state.setDown = 0;
  device.shearedMs = state.timeMs;
}
