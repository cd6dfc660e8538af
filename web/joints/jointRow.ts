/** A joint's row of the table, as text in the viewer's units. */
import type { JointState } from '../../src/live/messages.ts';
import type { Joint } from '../../src/plan/job.ts';
import type { UnitSystem } from '../../src/units.ts';
import { figure, percent } from '../figures.ts';
import type { MarkName } from '../Mark.tsx';

export interface JointRow {
  readonly name: string;
  readonly kind: Joint['kind'];
  readonly required: string;
  readonly expanded: string;
  readonly coverage: string;
  readonly longestGap: string;
  readonly pressureMin: string;
  readonly pressureMean: string;
  readonly pressureMax: string;
  readonly feed: string;
  readonly stalls: string;
  readonly minutes: string;
  readonly verdict: JointState['verdict'];
}

/** A joint that is not to be expanded has nothing to tell in most columns: they are left empty, not filled with dashes. */
export function jointRow(joint: Joint, state: JointState | null, system: UnitSystem): JointRow {
  const planned = joint.requiredM > 0;
  const swept = state !== null && (state.minutes > 0 || state.expandedM > 0 || state.unprovenM > 0);
  const whenSwept = (text: () => string): string => (planned && swept ? text() : '');
  return {
    name: joint.name,
    kind: joint.kind,
    required: planned ? figure('length', joint.requiredM, system) : '',
    expanded: whenSwept(() => figure('length', state!.expandedM, system)),
    coverage: whenSwept(() => percent(state!.coverage)),
    longestGap: whenSwept(() => figure('length', state!.longestGap, system)),
    pressureMin: whenSwept(() => figure('pressure', state!.pressure?.min, system)),
    pressureMean: whenSwept(() => figure('pressure', state!.pressure?.mean, system)),
    pressureMax: whenSwept(() => figure('pressure', state!.pressure?.max, system)),
    feed: whenSwept(() => figure('feed', state!.feedMean, system)),
    stalls: whenSwept(() => String(state!.stalls)),
    minutes: whenSwept(() => state!.minutes.toFixed(1)),
    verdict: state?.verdict ?? (planned ? 'not reached' : 'not planned'),
  };
}

/** The sign before a verdict: told apart by form, then by colour. */
export const VERDICT_SIGNS: Readonly<Record<JointState['verdict'], MarkName>> = {
  expanded: 'done',
  unproven: 'unproven',
  short: 'short',
  'in progress': 'now',
  'not reached': 'open',
  'not planned': 'none',
};
