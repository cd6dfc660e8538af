/**
 * What is known of the end of the string, and the range in which its depth and the block position add up: as far as both
 * readings agree, by their printed steps and their noise (see endDepth.ts).
 */
import { FASTEST_BLOCK_M_PER_S } from './blockSpeed.ts';
import {
  createJitter,
  createResolution,
  type Jitter,
  jitterSigma,
  learnJitter,
  learnResolution,
  type Resolution,
  restartJitter,
} from './resolution.ts';

/** Noise is learnt at the speed of rolling only; the bends of a trip are no noise, m/s. */
const ROLLING_SPEED_M_PER_S = 0.1;

export interface EndDepth {
  /** Depth of the end of the string, m; NaN while unknown. */
  depth: number;
  /** Metres a second, smoothed, for prediction only. */
  speed: number;
  atMs: number;
  reported: number;
  block: number;
  /** Reported depth + block position while they move together, and the range it may lie in. */
  sumLow: number;
  sumHigh: number;
  /** Metres that a wrapped encoder has added to both readings; 0 when not wrapped. */
  wrap: number;
  wrapSinceMs: number;
  oddSinceMs: number;
  /** Movement of the end with the block, m, since the block last left the line: only one that follows carries the depth. */
  followedM: number;
  /** Since when the block has been moving without the end depth, out of slips. */
  blockOddSinceMs: number;
  /** In slips by the last sample whose end depth could be read. */
  stood: boolean;
  /** Movement since the last sample by the finest reading, m. */
  advanceM: number;
  reportedStep: Resolution;
  blockStep: Resolution;
  jitter: Jitter;
}

export type DepthNote =
  | { readonly kind: 'fine' }
  | { readonly kind: 'spike'; readonly of: 'end depth' | 'block position'; readonly sizeM: number }
  | { readonly kind: 'wrap'; readonly sizeM: number }
  /** The depth itself has been moved: nothing was swept in between. */
  | { readonly kind: 'moved'; readonly sizeM: number };

export function createEndDepth(): EndDepth {
  return {
    depth: Number.NaN,
    speed: 0,
    atMs: Number.NaN,
    reported: Number.NaN,
    block: Number.NaN,
    sumLow: Number.NaN,
    sumHigh: Number.NaN,
    wrap: 0,
    wrapSinceMs: Number.NaN,
    oddSinceMs: Number.NaN,
    followedM: 0,
    blockOddSinceMs: Number.NaN,
    stood: false,
    advanceM: 0,
    reportedStep: createResolution(),
    blockStep: createResolution(),
    jitter: createJitter(),
  };
}

/** The step of the reading that carries the depth, m; a hundredth while nothing is known. */
export function depthStep(state: EndDepth): number {
  const reported = state.reportedStep.step;
  const block = state.blockStep.step;
  const step = blockCarries(state) ? block : reported;
  return step > 0 ? step : 0.01;
}

/** How far two depths of this stream may differ by resolution and noise alone, m. */
export function depthTolerance(state: EndDepth): number {
  return Math.max(depthStep(state) * 1.001, 4 * jitterSigma(state.jitter));
}

/** The block carries the depth where it is clearly the finer reading and has been following. */
export function blockCarries(state: EndDepth): boolean {
  return state.followedM > 0.3 && state.blockStep.step < 0.7 * state.reportedStep.step;
}

export const sumOf = (state: EndDepth): number => (state.sumLow + state.sumHigh) / 2;

export function setSum(state: EndDepth, sum: number, halfWidth: number): void {
  state.sumLow = sum - halfWidth;
  state.sumHigh = sum + halfWidth;
}

/** Half the width in which reported depth + block position may lie by their printed steps. */
export function sumHalfWidth(state: EndDepth): number {
  const reported = state.reportedStep.step;
  const block = state.blockStep.step;
  return ((reported > 0 ? reported : 0.01) + (block > 0 ? block : 0.01)) / 2 + 2 * jitterSigma(state.jitter);
}

/** Narrows the range of the sum by one more agreeing pair; a pair just outside drags the range along. */
export function narrowSum(state: EndDepth, sum: number): void {
  const half = sumHalfWidth(state);
  const low = Math.max(state.sumLow, sum - half);
  const high = Math.min(state.sumHigh, sum + half);
  if (low <= high) {
    state.sumLow = low;
    state.sumHigh = high;
    return;
  }
  const middle = (low + high) / 2;
  state.sumLow = middle;
  state.sumHigh = middle;
}

export function restart(state: EndDepth, atMs: number, reported: number, block: number): void {
  state.depth = reported;
  state.speed = 0;
  state.atMs = atMs;
  state.reported = reported;
  state.block = block;
  state.wrap = 0;
  state.wrapSinceMs = Number.NaN;
  state.oddSinceMs = Number.NaN;
  setSum(state, reported + block, sumHalfWidth(state));
  restartJitter(state.jitter);
}

/** Takes `depth` as this sample's, and follows the movement. */
export function settle(state: EndDepth, atMs: number, depth: number): void {
  state.advanceM = depth - state.depth;
  const seconds = (atMs - state.atMs) / 1000;
  if (seconds > 0) {
    const speed = (depth - state.depth) / seconds;
    state.speed += 0.5 * (Math.max(-FASTEST_BLOCK_M_PER_S, Math.min(FASTEST_BLOCK_M_PER_S, speed)) - state.speed);
  }
  state.depth = depth;
  state.atMs = atMs;
}

export function learn(state: EndDepth, reported: number, block: number, moving: boolean): void {
  if (!Number.isNaN(reported)) learnResolution(state.reportedStep, reported);
  if (!Number.isNaN(block)) learnResolution(state.blockStep, block);
  if (moving && Math.abs(state.speed) < ROLLING_SPEED_M_PER_S) {
    learnJitter(state.jitter, state.atMs, state.depth, 3 * depthStep(state) + 0.05);
  } else restartJitter(state.jitter);
}

/** `depth`, as far as the reported depth allows. */
export function nearReported(state: EndDepth, reported: number, depth: number): number {
  const half = sumHalfWidth(state);
  return Math.max(reported - half, Math.min(reported + half, depth));
}
