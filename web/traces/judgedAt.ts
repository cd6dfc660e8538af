/** Which pressure a window of the traces is about: rows tell the bounds alone, the plan tells whose they are. */
import type { Job } from '../../src/plan/job.ts';
import type { PressureAt } from './tracks.ts';

/** Rows keep 32 bits of a bound. */
const same = (kept: number, planned: number): boolean =>
  Number.isNaN(kept) ? !Number.isFinite(planned) : Math.fround(kept) === Math.fround(planned);

/** @returns for bounds in kPa, NaN for none; `standpipe` where no recipe has them. */
export function judgedAtIn(job: Job | null): (minKpa: number, maxKpa: number) => PressureAt {
  const recipes = job ? [job.recipes.isolation, job.recipes.screen].filter((recipe) => recipe !== undefined) : [];
  return (minKpa, maxKpa) =>
    recipes.find((recipe) => same(minKpa, recipe.pressureMinKpa) && same(maxKpa, recipe.pressureMaxKpa))?.pressureAt ??
    'standpipe';
}
