/**
 * The conditions that raise events, one row each: when it stands, which value is judged, what the event says. Delays and dead
 * bands stand in `src/events.ts`, the bounds in the plan. To add an event, add its kind there and its row in one of these.
 */
import type { Condition } from './condition.ts';
import { PRESSURE_CONDITIONS } from './pressureConditions.ts';
import { ROLLING_CONDITIONS } from './rollingConditions.ts';
import { WEIGHT_CONDITIONS } from './weightConditions.ts';
import { WELL_CONDITIONS } from './wellConditions.ts';

export const CONDITIONS: readonly Condition[] = [
  ...WELL_CONDITIONS,
  ...ROLLING_CONDITIONS,
  ...PRESSURE_CONDITIONS,
  ...WEIGHT_CONDITIONS,
];
