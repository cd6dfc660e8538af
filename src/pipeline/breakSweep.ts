/** What a break in the movement ends: a stretch without data, a depth that was moved, a new plan. */
import { restartMotion } from './motion.ts';
import { restartPhaseSense } from './phaseSense.ts';
import type { Run } from './runState.ts';
import { restSensors } from './sensorWatch.ts';
import { restartStall } from './stall.ts';
import { settleAll } from './sweep.ts';

/** Movement before and after a break has nothing to do with each other. */
export function forgetMovement(run: Run): void {
  restartMotion(run.motion);
  restartStall(run.stall);
  restartPhaseSense(run.phaseSense);
  restSensors(run.sensors);
  run.stalledMs = Number.NaN;
  run.provenFastMs[0] = run.provenFastMs[1] = Number.NaN;
}

/** The depth itself has been moved: the next stretch starts here. */
export function breakSweep(run: Run): void {
  settleAll(run.sweep, run.job);
  run.valid.atMs = Number.NaN;
  forgetMovement(run);
}
