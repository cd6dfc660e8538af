/** What the whole check stands on: the hole's path, the string, the fluid's flow curve; undefined where the plan lacks it. */
import type { CaliperReading } from '../engineering/caliperLog.ts';
import type { Fluid as FlowingFluid } from '../engineering/flowLoss.ts';
import type { RheologyFit } from '../engineering/rheology.ts';
import { type SurveyStation, type WellPath, wellPath } from '../engineering/survey.ts';
import type { StringSection } from '../engineering/volumes.ts';
import { flowingFluidOf, rheologyOf, strangeDialsOf } from '../plan/flowingFluid.ts';
import type { Job } from '../plan/job.ts';
import { CHECK_DEFAULTS, type UsedDefault } from './checkDefaults.ts';

export interface CheckOptions {
  /** A log that was read; left out, the hole is not checked against the tools. */
  readonly caliper?: CaliperReading | undefined;
  /** ± shift that the space-out looks at, m, above 0. */
  readonly spaceOutM?: number | undefined;
}

export interface CheckBasis {
  readonly job: Job;
  readonly options: CheckOptions;
  /** Without a survey, a vertical hole. */
  readonly path: WellPath;
  /** As the weights want it; empty: not given. */
  readonly string: readonly StringSection[];
  /** Undefined without dials. */
  readonly rheology: RheologyFit | undefined;
  readonly flowing: FlowingFluid | undefined;
  /** Dials of the plan at speeds that no viscometer of six speeds has. */
  readonly strangeDials: readonly number[];
  readonly blockKn: number;
  /** Of all pumps together; NaN without pumps. */
  readonly litresPerStroke: number;
  /** Defaults that stood in, in the order of the plan. */
  readonly defaults: readonly UsedDefault[];
}

export function checkBasis(job: Job, options: CheckOptions): CheckBasis {
  const { engineering, blockWeightKn } = job;
  const { fluid, string, survey, pumps } = engineering;
  const stations = survey.map(
    (station): SurveyStation => ({
      md: station.mdM,
      inclination: station.inclinationDeg,
      azimuth: station.azimuthDeg,
    }),
  );
  const rheology = fluid && rheologyOf(fluid);
  return {
    job,
    options,
    path: wellPath(stations),
    string: string.map(({ name, lengthM, odMm, idMm, massKgPerM, contactMm }) => {
      return { name, lengthM, odMm, idMm, massKgM: massKgPerM, contactOdMm: contactMm };
    }),
    rheology,
    flowing: fluid && flowingFluidOf(fluid, rheology),
    strangeDials: fluid ? strangeDialsOf(fluid) : [],
    blockKn: blockWeightKn ?? CHECK_DEFAULTS['surface.blockWeight'].value,
    litresPerStroke: pumps.length > 0 ? pumps.reduce((sum, pump) => sum + pump.litresPerStroke, 0) : Number.NaN,
    defaults: usedDefaults(job, options),
  };
}

/** Those of the plan, then the check's own, each only where it takes part in a number. */
function usedDefaults(job: Job, { caliper, spaceOutM }: CheckOptions): UsedDefault[] {
  const { engineering, blockWeightKn } = job;
  const hasWeights = engineering.string.length > 0 && engineering.fluid !== undefined;
  const used: UsedDefault[] = [...engineering.defaults];
  if (engineering.survey.length === 0) used.push('survey');
  if (hasWeights && blockWeightKn === undefined) used.push('surface.blockWeight');
  if (hasWeights && engineering.hole.length > 0) used.push('check.buckling.inclination');
  if (caliper) {
    used.push('check.contact.tolerance');
    if (spaceOutM === undefined) used.push('check.spaceOut.reach');
    used.push('check.spaceOut.step');
  }
  return used;
}
