/** How quantities follow what is asked of them: two pure steps that every moving thing of the rig is made of. */

/** One step of a first-order lag towards `target`; exact for a target that stands over the step. */
export function lagged(value: number, target: number, stepS: number, timeConstantS: number): number {
  return target + (value - target) * Math.exp(-stepS / timeConstantS);
}

/** One step towards `target` no faster than `ratePerS`. */
export function ramped(value: number, target: number, stepS: number, ratePerS: number): number {
  const change = target - value;
  const most = ratePerS * stepS;
  return Math.abs(change) <= most ? target : value + Math.sign(change) * most;
}
