/**
 * A ball pumped down the string to its seat: how much, how many strokes, how long; when to slow down and when to worry.
 * The ball is taken to move with the fluid. It also falls through it, so the pumped volume to the seat is the latest that
 * the ball lands, and the slow stretch before it is where it may land (common practice).
 */
import { type HungSection, minutesOf, stringVolumeM3, strokesOf } from './volumes.ts';

export interface BallStep {
  readonly hung: readonly HungSection[];
  /** Measured depth of the seat; at most the end of the string. */
  readonly seatDepthM: number;
  readonly flowLMin: number;
  /** Flow after slowing down; `flowLMin` all the way when left out. */
  readonly slowFlowLMin?: number;
  /** All running pumps together. */
  readonly litresPerStroke: number;
  /** Volume before the seat at which to slow down. */
  readonly slowDownM3: number;
  /** Volume past the seat at which a ball that has not landed is overdue. */
  readonly overdueM3: number;
}

/** Volumes pumped since the ball was let go, with the strokes and minutes that deliver them. */
export interface BallMoment {
  readonly volumeM3: number;
  readonly strokes: number;
  readonly minutes: number;
}

export interface BallTravel {
  /** At once (0) where the margin is more than the string holds. */
  readonly slowDown: BallMoment;
  readonly seat: BallMoment;
  readonly overdue: BallMoment;
}

/** Flows and displacement > 0, margins ≥ 0. */
export function ballTravel(step: BallStep): BallTravel {
  const { flowLMin, slowFlowLMin = flowLMin, litresPerStroke } = step;
  const toSeat = stringVolumeM3(step.hung, 0, step.seatDepthM);
  const fast = Math.max(0, toSeat - step.slowDownM3);
  const moment = (volumeM3: number): BallMoment => ({
    volumeM3,
    strokes: strokesOf(volumeM3, litresPerStroke),
    minutes: minutesOf(Math.min(volumeM3, fast), flowLMin) + minutesOf(Math.max(0, volumeM3 - fast), slowFlowLMin),
  });
  return { slowDown: moment(fast), seat: moment(toSeat), overdue: moment(toSeat + step.overdueM3) };
}
