/** What a travelling block can do in a time. */

/** Faster than any travelling block, m/s (common practice: tripping peaks near 1.5 m/s). */
export const FASTEST_BLOCK_M_PER_S = 2.5;
/** Slack of the gate: readings are printed in steps and stamped to the second, m. */
const GATE_SLACK_M = 0.5;

/** How far the string or the block can have moved in `ms`, m. */
export function reachM(ms: number): number {
  return (FASTEST_BLOCK_M_PER_S * ms) / 1000 + GATE_SLACK_M;
}

/** Whether a movement of `metres` in `ms` is one that a block can make; unknown ones are. */
export function canMove(metres: number, ms: number): boolean {
  return !(Math.abs(metres) > reachM(ms));
}
