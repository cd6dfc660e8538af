import { converter } from '../../src/units.ts';
import { plan } from '../state.ts';

/** A tenth of a millimetre: what a depth is given to in the journal, in the units of the plan. */
export const journalDepth = (depthM: number): number =>
  Number(
    converter(plan.peek()?.units ?? 'metric')
      .out('length', depthM)
      .toFixed(4),
  );
