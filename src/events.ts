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
  /** What the same readings may also mean. */
  readonly mayAlsoBe?: string;
  /** Well control comes before everything else on the screen. */
  readonly ranksFirst?: true;
}

/** Said with losses and gains, wherever they are shown. */
export const WELL_CONTROL_CAUTION =
  "Well control comes first: the rig's own equipment and procedures decide, not this screen.";

/** Delays of the events that end at once or are written whole. */
const AT_ONCE = { onDelayMs: 0, offDelayMs: 0, deadBand: 0, onAdvanceM: 0 } as const;

/** Forms of a stall: the rotation is held, or the tool turns and does not get deeper. */
export const EVENT_FORMS = ['rotational', 'axial'] as const;
export type EventForm = (typeof EVENT_FORMS)[number];

export const EVENTS = {
  /** Its on-delay is the plan's `limits.stall.seconds`. */
  stall: {
    ...AT_ONCE,
    priority: 'high',
    offDelayMs: 3_000,
    lookFirst: 'Is set-down rising with torque at its limit? Pick up, free the rotation, then feed again.',
    mayAlsoBe:
      'a drive that tripped (rotation and torque both gone), a driller who has stopped on purpose (hookload steady)',
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
  gain: {
    priority: 'high',
    onDelayMs: 10_000,
    offDelayMs: 30_000,
    deadBand: 0.2,
    onAdvanceM: 0,
    ranksFirst: true,
    lookFirst: `Flow check. ${WELL_CONTROL_CAUTION}`,
    mayAlsoBe: 'a transfer into the tanks, flow back after the pumps stop, a tank sensor',
  },
  losses: {
    priority: 'high',
    onDelayMs: 10_000,
    offDelayMs: 30_000,
    deadBand: 0.2,
    onAdvanceM: 0,
    ranksFirst: true,
    lookFirst: `Flow check. ${WELL_CONTROL_CAUTION}`,
    mayAlsoBe: 'a leak or a transfer at surface, a flow-out sensor that is not calibrated',
  },
  'pack-off': {
    priority: 'high',
    onDelayMs: 15_000,
    offDelayMs: 15_000,
    deadBand: 0.2,
    onAdvanceM: 0,
    lookFirst: 'Pumps down slowly, keep the pipe moving, do not force it.',
    mayAlsoBe: 'a plugged nozzle (torque and hookload stay as they were)',
  },
  washout: {
    priority: 'high',
    onDelayMs: 30_000,
    offDelayMs: 60_000,
    deadBand: 0.3,
    onAdvanceM: 0,
    lookFirst: 'Stop rolling. Compare stroke rate, flow and pressure at a rate that was calibrated.',
    mayAlsoBe: 'a pump that delivers less than its strokes say, a warmer or thinner fluid',
  },
  plugging: {
    priority: 'medium',
    onDelayMs: 30_000,
    offDelayMs: 60_000,
    deadBand: 0.3,
    onAdvanceM: 0,
    lookFirst: 'Compare pressure at a calibrated rate, off bottom. Did torque or hookload change too?',
    mayAlsoBe: 'a pack-off (torque and hookload change too), a colder or thicker fluid',
  },
  'pump mismatch': {
    priority: 'medium',
    onDelayMs: 30_000,
    offDelayMs: 30_000,
    deadBand: 0.3,
    onAdvanceM: 0,
    lookFirst: 'Compare the pumps one by one; check the flow sensor and the stroke counters.',
    mayAlsoBe: 'a liner size in the plan that is not the one in the pump',
  },
  'valve not shifted': {
    priority: 'high',
    onDelayMs: 20_000,
    offDelayMs: 5_000,
    deadBand: 0,
    onAdvanceM: 0,
    lookFirst: 'Bleed off and bring the pumps up again past the shifting flow; the other tool has the pressure.',
    mayAlsoBe: 'a washout above the tools, a flow reading that is too high',
  },
  'valve not reset': {
    priority: 'high',
    onDelayMs: 20_000,
    offDelayMs: 5_000,
    deadBand: 0,
    onAdvanceM: 0,
    lookFirst: 'Bleed off fully and wait before the pumps come on again.',
    mayAlsoBe: 'plugged nozzles of the low path',
  },
  'high feed per turn': {
    priority: 'medium',
    onDelayMs: 30_000,
    offDelayMs: 10_000,
    deadBand: 0,
    onAdvanceM: 0.1,
    lookFirst: 'Slow the feed or turn faster; what was swept too coarsely counts as not expanded.',
    mayAlsoBe: 'block jitter, heave',
  },
  'long dwell': {
    priority: 'high',
    onDelayMs: 0,
    offDelayMs: 3_000,
    deadBand: 0,
    onAdvanceM: 0,
    lookFirst: 'Take the pressure off or move: rolling at one depth can tear a screen.',
    mayAlsoBe: 'a depth reading that stands still',
  },
  'pressure at connection': {
    priority: 'high',
    onDelayMs: 3_000,
    offDelayMs: 3_000,
    deadBand: 0.03,
    onAdvanceM: 0,
    lookFirst: 'Take the pressure off before the tool crosses a threaded connection; note the depth.',
    mayAlsoBe: 'a depth that is off by the length of the keep-out',
  },
  'short overlap': {
    ...AT_ONCE,
    priority: 'medium',
    lookFirst: 'Pick up and sweep the end of the last stretch again.',
    mayAlsoBe: 'stretch that changed while the string stood',
  },
  'stick-slip': {
    priority: 'medium',
    onDelayMs: 20_000,
    offDelayMs: 20_000,
    deadBand: 0.2,
    onAdvanceM: 0,
    lookFirst: 'Turn faster or feed slower until the torque steadies.',
    mayAlsoBe: 'a torque sensor that wavers',
  },
  overpull: {
    priority: 'high',
    onDelayMs: 2_000,
    offDelayMs: 5_000,
    deadBand: 0.05,
    onAdvanceM: 0,
    lookFirst: 'Stop the block. Go back to the free weight before pulling again.',
    mayAlsoBe: 'drag that is higher than it was when the free weight was measured',
  },
  'high set-down': {
    priority: 'high',
    onDelayMs: 2_000,
    offDelayMs: 5_000,
    deadBand: 0.05,
    onAdvanceM: 0,
    lookFirst: 'Stop the block and pick up.',
    mayAlsoBe: 'drag on the way down',
  },
  'high hookload': {
    priority: 'high',
    onDelayMs: 2_000,
    offDelayMs: 5_000,
    deadBand: 0.02,
    onAdvanceM: 0,
    lookFirst: 'Stop the block.',
  },
  'long stationary': {
    priority: 'medium',
    onDelayMs: 0,
    offDelayMs: 3_000,
    deadBand: 0,
    onAdvanceM: 0,
    lookFirst: 'Move the pipe: it can stick against the wall of the open hole.',
    mayAlsoBe: 'a depth reading that stands still',
  },
  'depth mismatch': {
    ...AT_ONCE,
    priority: 'medium',
    lookFirst: 'Count the stands against the tally before the difference is applied.',
    mayAlsoBe: 'another restriction than the shear device',
  },
  'unit change': {
    priority: 'medium',
    onDelayMs: 10_000,
    offDelayMs: 10_000,
    deadBand: 0,
    onAdvanceM: 0,
    lookFirst: 'Ask the data engineer which unit is sent; the channel map can name it.',
    mayAlsoBe: 'a new sensor or a new zero',
  },
  'ball overdue': {
    priority: 'medium',
    onDelayMs: 0,
    offDelayMs: 0,
    deadBand: 0,
    onAdvanceM: 0,
    lookFirst: 'Slow down and look for a small rise: a ball on a leaking seat makes a low plateau.',
    mayAlsoBe: 'a ball that was seated without being seen, a pumped volume that is off',
  },
  'hanger moved': {
    ...AT_ONCE,
    priority: 'high',
    lookFirst: 'Do not release. Compare the movement with the elastic stretch of the string.',
    mayAlsoBe: 'slips at surface that let the pipe through, more stretch than was worked out',
  },
  'test not passed': {
    ...AT_ONCE,
    priority: 'high',
    lookFirst: 'Bleed off, check the surface lines, test again by the programme.',
    mayAlsoBe: 'trapped fluid that warms or cools, a leak at surface',
  },
} as const satisfies Record<string, EventKind>;

export type EventName = keyof typeof EVENTS;
export const EVENT_NAMES = Object.keys(EVENTS) as EventName[];

/** Whether who acknowledges it says what was found or done: well control is never waved through. */
export const asksReason = (kind: string): boolean =>
  EVENT_NAMES.some((name) => name === kind && 'ranksFirst' in EVENTS[name]);
