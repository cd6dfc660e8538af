/** The plan worked out in inside units: everything that the findings judge and the check shows. */

import type { Job } from '../plan/job.ts';
import { type BallStep, ballSteps } from './ballSteps.ts';
import { type CheckBasis, type CheckOptions, checkBasis } from './checkBasis.ts';
import { type FluidCheck, fluidCheck } from './fluidCheck.ts';
import { type HoleCheck, holeCheck } from './holeCheck.ts';
import { type HydraulicsAt, hydraulicsAt } from './hydraulicsAt.ts';
import { type Target, targetsOf } from './targets.ts';
import { pumpingStretchM, type WeightsAt, weightsAt } from './weightsAt.ts';

export interface Leg {
  readonly target: Target;
  readonly hydraulics: HydraulicsAt;
  readonly weights: WeightsAt;
  readonly pumpingStretchM: number;
}

export interface CheckWork {
  readonly basis: CheckBasis;
  /** From the top down. */
  readonly legs: readonly Leg[];
  readonly balls: readonly BallStep[];
  readonly hole: HoleCheck | undefined;
  readonly fluid: FluidCheck | undefined;
}

export function workOut(job: Job, options: CheckOptions): CheckWork {
  const basis = checkBasis(job, options);
  const targets = targetsOf(job);
  const legs = targets.map((target): Leg => {
    const hydraulics = hydraulicsAt(basis, target);
    return {
      target,
      hydraulics,
      weights: weightsAt(basis, target.endDepthM),
      pumpingStretchM: pumpingStretchM(basis, target.endDepthM, hydraulics),
    };
  });
  return { basis, legs, balls: ballSteps(basis, targets), hole: holeCheck(basis, targets), fluid: fluidCheck(job) };
}
