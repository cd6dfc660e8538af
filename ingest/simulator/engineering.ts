/** What the simulated rig reads of a plan's engineering part, in inside units; a plan may leave any of it out. */
import { z } from 'zod';
import type { Job } from '../../src/plan/job.ts';
import { type Plan, planSchema } from '../../src/plan/planSchema.ts';
import { converter } from '../../src/units.ts';

const positive = z.number().positive();
const partsSchema = z.looseObject({
  fluid: z.looseObject({ density: positive }).optional(),
  string: z.array(z.looseObject({ length: positive, mass: positive })).optional(),
  survey: z.array(z.looseObject({ md: z.number(), inclination: z.number() })).optional(),
  flowPath: z
    .looseObject({
      shiftsAt: positive,
      dischargeCoefficient: positive.max(1),
      low: z.looseObject({ area: positive }),
      high: z.looseObject({ area: positive }),
    })
    .optional(),
});

export interface Engineering {
  readonly densityKgPerM3: number;
  /** From the surface down; mass in air, kg/m. */
  readonly string: readonly { readonly lengthM: number; readonly massKgPerM: number }[];
  readonly survey: readonly { readonly md: number; readonly inclinationDeg: number }[];
  readonly flowPath:
    | {
        readonly shiftsAtLPerMin: number;
        readonly dischargeCoefficient: number;
        readonly lowAreaMm2: number;
        readonly highAreaMm2: number;
      }
    | undefined;
}

const DEFAULT_DENSITY = 1180;
const DEFAULT_MASS = 31;
/** Mass per length of the field system, lb/ft, in kg/m. */
const LB_PER_FT = 0.45359237 / 0.3048;

/** @throws ZodError when a part that is there makes no sense. */
export function engineeringOf(plan: object, job: Job): Engineering {
  const parts = partsSchema.parse(plan);
  const units = converter(job.units);
  const perMetre = job.units === 'field' ? LB_PER_FT : 1;
  const path = parts.flowPath;
  return {
    densityKgPerM3: parts.fluid ? units.in('density', parts.fluid.density) : DEFAULT_DENSITY,
    string: parts.string?.map((part) => ({
      lengthM: units.in('length', part.length),
      massKgPerM: part.mass * perMetre,
    })) ?? [{ lengthM: 1, massKgPerM: DEFAULT_MASS }],
    survey: parts.survey?.map((s) => ({ md: units.in('length', s.md), inclinationDeg: s.inclination })) ?? [],
    flowPath: path && {
      shiftsAtLPerMin: units.in('flow', path.shiftsAt),
      dischargeCoefficient: path.dischargeCoefficient,
      lowAreaMm2: units.in('area', path.low.area),
      highAreaMm2: units.in('area', path.high.area),
    },
  };
}

/**
 * A plan from outside for the simulated rig: as `planSchema` has it, with the engineering part kept beside.
 * @throws ZodError when it is no plan.
 */
export function planForRig(raw: object): Plan {
  return { ...raw, ...planSchema.parse(raw) };
}
