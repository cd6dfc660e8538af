/** `--units`: what a file or a report is written in; left out, what the plan is. */
import { Fault } from '../../src/fault.ts';
import type { UnitSystem } from '../../src/units.ts';

/** @throws Fault `bad option` */
export function unitsOption(text: string | undefined): UnitSystem | undefined {
  if (text === undefined || text === 'metric' || text === 'field') return text;
  throw new Fault('bad option', `--units: found "${text}", expected metric or field`);
}
