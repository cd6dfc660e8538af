/** Own figures, by hand: 2,336 mm² of steel in 88.9 × 70.2 mm pipe, 206.84 GPa. */
import { expect, it } from 'vitest';
import { complianceAtHanger, hangerDepthM, hungString } from '../../../src/pipeline/hungString.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { heldOutHangerPlan, STRETCH_M_PER_KN } from '../../heldOut/hangerTrip.ts';
import { scenarioPlan } from './scenario.ts';

const job = compileJob(heldOutHangerPlan());

it('hangs from the surface to the end of the string, its topmost part drawn out or cut', () => {
  for (const end of [1500, 2410, 2600]) {
    const hung = hungString(job, end);
    expect([hung[0]!.fromM, hung.at(-1)!.toM]).toEqual([0, end]);
  }
  expect(hungString(job, Number.NaN)).toEqual([]);
});

it('gives what the string above the hanger gives', () => {
  expect(hangerDepthM(job)).toBe(2402);
  expect(complianceAtHanger(job, 2410)).toBeCloseTo(STRETCH_M_PER_KN, 5);
  // A string that ends above the hanger is held at its end.
  expect(complianceAtHanger(job, 1201)).toBeCloseTo(STRETCH_M_PER_KN / 2, 5);
});

it('is nothing where the plan has no string; the liner hangs at its top where no joint is a hanger', () => {
  const bare = compileJob(scenarioPlan());
  expect(hungString(bare, 1000)).toEqual([]);
  expect(complianceAtHanger(bare, 1000)).toBeNaN();
  expect(hangerDepthM(bare)).toBe(1000);
});
