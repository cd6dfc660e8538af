/** What a condition is, and the words and bounds that conditions share. */
import type { Sample } from '../channels.ts';
import { EVENT_NAMES, EVENTS, type EventForm, type EventName } from '../events.ts';
import type { Measure, MeasuredText } from '../measuredText.ts';
import type { Job, Recipe } from '../plan/job.ts';
import type { Quantity } from '../units.ts';
import { isWatched } from './eventLog.ts';
import { judgedKpa } from './judgedPressure.ts';
import type { Run } from './runState.ts';

/** What a condition is judged on. */
export interface Moment {
  readonly run: Run;
  readonly sample: Sample;
  /** The recipe at work, undefined when nothing is, or in slips. */
  readonly recipe: Recipe | undefined;
  /** The tool gets deeper, on ground where it matters. */
  readonly advancing: boolean;
}

export interface Condition {
  readonly kind: EventName;
  /** Bit of `BREACHES` that it sets, 0 for none. */
  readonly breach: number;
  readonly worseIs: 'low' | 'high';
  /** Whether the plan has what it is judged by; left out: whatever the plan. Without that it never stands. */
  isPlanned?(job: Job): boolean;
  /** It stands only while a recipe is at work. */
  readonly ofRecipe?: true;
  stands(moment: Moment): boolean;
  /** The value judged; the worst one goes into the words. */
  value(moment: Moment): number;
  /** When it began, where that is known to be earlier than now, ms. */
  sinceMs?(moment: Moment): number;
  says(moment: Moment, worst: number): MeasuredText;
  /** Where it is, when that is not where the tool in focus is. */
  at?(moment: Moment): { readonly joint: string | null; readonly depth: number };
  /** The form in which it shows, where it has several. */
  form?(moment: Moment): EventForm | undefined;
}

/** The widest dead band of all: a value beyond it need not be asked whose event is open. */
const WIDEST_BAND = Math.max(...EVENT_NAMES.map((name) => EVENTS[name].deadBand));

/** A bound with the dead band of its event: once it is broken, the value must come back a little further. */
export function isBelow({ run }: Moment, kind: EventName, value: number, min: number): boolean {
  if (min > 0 && !(value < min * (1 + WIDEST_BAND))) return false;
  return value < (isWatched(run.events, kind) ? min * (1 + EVENTS[kind].deadBand) : min);
}

export function isAbove({ run }: Moment, kind: EventName, value: number, max: number): boolean {
  if (max > 0 && !(value > max * (1 - WIDEST_BAND))) return false;
  return value > (isWatched(run.events, kind) ? max * (1 - EVENTS[kind].deadBand) : max);
}

export const measure = (quantity: Quantity, value: number, decimals: number): Measure => ({
  quantity,
  value,
  decimals,
});

export const tooLow = (quantity: Quantity, worst: number, least: number, decimals: number): MeasuredText => [
  'down to ',
  measure(quantity, worst, decimals),
  ', at least ',
  measure(quantity, least, decimals),
  ' wanted',
];
export const tooHigh = (quantity: Quantity, worst: number, most: number, decimals: number): MeasuredText => [
  'up to ',
  measure(quantity, worst, decimals),
  ', at most ',
  measure(quantity, most, decimals),
  ' allowed',
];

/** The pressure that the recipe at work is judged on, kPa. */
export const judged = ({ run, recipe }: Moment): number => (recipe ? judgedKpa(recipe, run.pressures) : Number.NaN);
export const isPressed = (m: Moment): boolean => !(judged(m) < (m.recipe?.pressureMinKpa ?? -Infinity));
export const isTurning = ({ sample, recipe }: Moment): boolean => !(sample.rotation < (recipe?.rpmMin ?? -Infinity));
