/**
 * Cumulative sums for a small lasting shift (Page 1954; tabular form of NIST/SEMATECH e-Handbook 6.3.2.3): what washout
 * and plugging look like long before any single reading is out of the ordinary.
 *
 *   up   ← max(0, up + x − target − allowance)      alarm above `decision`
 *   down ← max(0, down + target − allowance − x)    alarm above `decision`
 *
 * `allowance` (k) is half the shift to be caught, `decision` (h) sets how rare a false alarm is: with k 0.5σ and h 5σ one
 * in 465 samples, both sides together, when samples are independent. Readings at 1 Hz are not: thin them first.
 */
import { invariant } from '../fault.ts';

export interface CusumDesign {
  /** What the watched figure is expected to be, in its own unit. */
  readonly target: number;
  /** k and h in that same unit, not in standard deviations. */
  readonly allowance: number;
  readonly decision: number;
  readonly sides: 'up' | 'down' | 'both';
}

/** Plain data. `quiet` → `up` or `down` when a sum passes the decision, and back when it falls to it again. */
export interface Cusum {
  readonly design: CusumDesign;
  readonly up: number;
  readonly down: number;
  /** Samples since each sum last stood at 0: where the shift most likely began. */
  readonly upFor: number;
  readonly downFor: number;
  readonly alarm: 'quiet' | 'up' | 'down';
}

export function createCusum(design: CusumDesign): Cusum {
  invariant(Number.isFinite(design.target), 'a target that is a number');
  invariant(design.allowance >= 0 && design.decision > 0, 'an allowance of at least 0 and a decision above 0');
  return { design, up: 0, down: 0, upFor: 0, downFor: 0, alarm: 'quiet' };
}

/** One sample more, in the unit of the target. A sample that is not finite changes nothing. */
export function advanceCusum(state: Cusum, x: number): Cusum {
  if (!Number.isFinite(x)) return state;
  const { design } = state;
  const away = x - design.target;
  const up = design.sides === 'down' ? 0 : Math.max(0, state.up + away - design.allowance);
  const down = design.sides === 'up' ? 0 : Math.max(0, state.down - away - design.allowance);
  const alarm = up > design.decision && up >= down ? 'up' : down > design.decision ? 'down' : 'quiet';
  return {
    design,
    up,
    down,
    upFor: up > 0 ? state.upFor + 1 : 0,
    downFor: down > 0 ? state.downFor + 1 : 0,
    alarm,
  };
}
