/** `check`: a plan worked out before the trip, and what speaks against it. */

import { CHECK_DEFAULTS } from '../../src/check/checkDefaults.ts';
import { checkPlan } from '../../src/check/checkPlan.ts';
import { MOST_SPACE_OUT_M } from '../../src/check/holeCheck.ts';
import { converter } from '../../src/units.ts';
import { readCaliper } from '../plan/readCaliper.ts';
import { numberOption, type OptionTable, readOptions } from './options.ts';
import { readInputs } from './readInputs.ts';
import { writeWhole } from './writeWhole.ts';

const REACH_M = CHECK_DEFAULTS['check.spaceOut.reach'].value;

export const CHECK_OPTIONS = {
  plan: { type: 'string', value: 'FILE', says: 'the plan, jointwise-plan/1' },
  caliper: { type: 'string', value: 'FILE', says: 'a caliper log, LAS 2.0 or CSV with units in its header' },
  'space-out': {
    type: 'string',
    value: 'LENGTH',
    says: `shift up and down to look at, in the plan's unit of length; left out: ${REACH_M} m`,
  },
  out: { type: 'string', value: 'FILE', says: 'write the check there; left out: standard output' },
} as const satisfies OptionTable;

export async function check(args: readonly string[]): Promise<void> {
  const options = readOptions(args, CHECK_OPTIONS);
  const { job } = await readInputs({ plan: options.plan, channels: undefined, journal: undefined });
  const units = converter(job.units);
  const most = Math.floor(units.out('length', MOST_SPACE_OUT_M));
  const reach = numberOption('space-out', options['space-out'], Number.NaN, 0, most);
  const answer = checkPlan(job, {
    caliper: options.caliper === undefined ? undefined : await readCaliper(options.caliper, job),
    spaceOutM: Number.isNaN(reach) ? undefined : units.in('length', reach),
  });
  const text = `${JSON.stringify(answer, null, 2)}\n`;
  if (options.out === undefined) process.stdout.write(text);
  else await writeWhole(options.out, text);
}
