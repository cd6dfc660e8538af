/** Each ball on its way: what is pumped until it is slowed, seated, overdue. */
import { type BallTravel, ballTravel } from '../engineering/ballTravel.ts';
import { hangString } from '../engineering/volumes.ts';
import type { Ball } from '../plan/engineering.ts';
import type { CheckBasis } from './checkBasis.ts';
import type { Target } from './targets.ts';

export interface BallStep {
  readonly ball: Ball;
  /** Where the end of the string is then, m. */
  readonly endDepthM: number;
  /** Strokes are NaN where the plan has no pumps. */
  readonly travel: BallTravel;
}

/**
 * The hanger is set with the tools still above the first joint that they roll, the circulating sub opened below the last:
 * so the string ends where it does in the middle of that joint, and never above the seat. Empty without a string.
 */
export function ballSteps(basis: CheckBasis, targets: readonly Target[]): BallStep[] {
  if (basis.string.length === 0) return [];
  return basis.job.engineering.balls.map((ball) => {
    const at = ball.purpose === 'set hanger' ? targets[0] : targets.at(-1);
    const endDepthM = Math.max(at?.endDepthM ?? 0, ball.seatM);
    const travel = ballTravel({
      hung: hangString(basis.string, endDepthM),
      seatDepthM: ball.seatM,
      flowLMin: ball.flowLPerMin,
      slowFlowLMin: ball.slowFlowLPerMin,
      litresPerStroke: basis.litresPerStroke,
      slowDownM3: ball.slowBeforeM3,
      overdueM3: ball.overdueAfterM3,
    });
    return { ball, endDepthM, travel };
  });
}
