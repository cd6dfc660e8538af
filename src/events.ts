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
  readonly lookFirst: string;
}

const event = (
  priority: Priority,
  onDelayMs: number,
  offDelayMs: number,
  deadBand: number,
  lookFirst: string,
): EventKind => ({ priority, onDelayMs, offDelayMs, deadBand, lookFirst });

export const EVENTS = {
  stall: event(
    'high',
    0,
    3_000,
    0,
    'Is set-down rising with torque at its limit? Pick up, free the rotation, then feed again.',
  ),
  'low pressure': event(
    'high',
    15_000,
    5_000,
    0.02,
    'Stop feeding. Compare flow with pressure: pump, leak, or the wrong flow path?',
  ),
  'high pressure': event('high', 3_000, 5_000, 0.03, 'Pumps down. Is the right tool live for this joint?'),
  'high torque': event('high', 3_000, 5_000, 0.05, 'Stop rotation and pick up before the connections take it.'),
  'rotation lost': event(
    'high',
    5_000,
    5_000,
    0.05,
    'Stop feeding. Does torque still read? Then suspect the rotation sensor.',
  ),
  'fast feed': event('medium', 10_000, 10_000, 0, 'Slow the feed; what was swept too fast counts as not expanded.'),
  'data gap': event('medium', 0, 0, 0, 'Use the gauges on the floor. Nothing swept unseen counts as expanded.'),
  'stuck sensor': event('medium', 60_000, 5_000, 0, 'Compare with the gauge on the floor and have the sensor checked.'),
  'depth jump': event('medium', 0, 10_000, 0, 'Check the block encoder and the pipe tally before counting on depth.'),
} as const satisfies Record<string, EventKind>;

export type EventName = keyof typeof EVENTS;
export const EVENT_NAMES = Object.keys(EVENTS) as EventName[];
