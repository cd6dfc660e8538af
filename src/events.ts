/**
 * The events of a run. One table holds for each: how urgent, how long its condition must stand (on-delay), how long
 * it must be gone (off-delay), how far it must come back (dead band, as a share of the bound), and what to look at
 * first. On-delays and dead bands are common practice with no source; the bounds themselves come from the plan.
 */

export const PRIORITIES = ['high', 'medium', 'low'] as const;
export type Priority = (typeof PRIORITIES)[number];

export interface EventKind {
  readonly priority: Priority;
  readonly onDelayMs: number;
  readonly offDelayMs: number;
  /** Share of the bound by which the value must come back before the event may close. */
  readonly deadBand: number;
  /** Metres that must have been swept under the condition: what stands still loses nothing. */
  readonly onAdvanceM: number;
  readonly lookFirst: string;
}

/** Delays of the events that end at once or are written whole. */
const AT_ONCE = { onDelayMs: 0, offDelayMs: 0, deadBand: 0, onAdvanceM: 0 } as const;

export const EVENTS = {
  /** Its on-delay is the plan's `limits.stall.seconds`. */
  stall: {
    ...AT_ONCE,
    priority: 'high',
    offDelayMs: 3_000,
    lookFirst: 'Is set-down rising with torque at its limit? Pick up, free the rotation, then feed again.',
  },
  'low pressure': {
    priority: 'high',
    onDelayMs: 15_000,
    offDelayMs: 5_000,
    deadBand: 0.02,
    onAdvanceM: 0.1,
    lookFirst: 'Stop feeding. Compare flow with pressure: pump, leak, or the wrong flow path?',
  },
  'high pressure': {
    priority: 'high',
    onDelayMs: 3_000,
    offDelayMs: 5_000,
    deadBand: 0.03,
    onAdvanceM: 0,
    lookFirst: 'Pumps down. Is the right tool live for this joint?',
  },
  'high torque': {
    priority: 'high',
    onDelayMs: 3_000,
    offDelayMs: 5_000,
    deadBand: 0.05,
    onAdvanceM: 0,
    lookFirst: 'Stop rotation and pick up before the connections take it.',
  },
  'rotation lost': {
    priority: 'high',
    onDelayMs: 8_000,
    offDelayMs: 5_000,
    deadBand: 0.05,
    onAdvanceM: 0.1,
    lookFirst: 'Stop feeding. Does torque still read? Then suspect the rotation sensor.',
  },
  'fast feed': {
    priority: 'medium',
    onDelayMs: 10_000,
    offDelayMs: 10_000,
    deadBand: 0,
    onAdvanceM: 0.1,
    lookFirst: 'Slow the feed; what was swept too fast counts as not expanded.',
  },
  'data gap': {
    ...AT_ONCE,
    priority: 'medium',
    lookFirst: 'Use the gauges on the floor. Nothing swept unseen counts as expanded.',
  },
  'stuck sensor': {
    priority: 'medium',
    onDelayMs: 60_000,
    offDelayMs: 5_000,
    deadBand: 0,
    onAdvanceM: 0,
    lookFirst: 'Compare with the gauge on the floor and have the sensor checked.',
  },
  'depth jump': {
    ...AT_ONCE,
    priority: 'medium',
    offDelayMs: 10_000,
    lookFirst: 'Check the block encoder and the pipe tally before counting on depth.',
  },
} as const satisfies Record<string, EventKind>;

export type EventName = keyof typeof EVENTS;
export const EVENT_NAMES = Object.keys(EVENTS) as EventName[];
