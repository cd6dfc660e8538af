/**
 * Standpipe pressure from flow. Fluid leaves through the nozzles of the low path; above a flow a pressure-shifted valve
 * shuts the lower tool off and the smaller area of the high path makes the higher pressure. What the string itself costs
 * grows with flow to the power 1.8 (turbulent flow in pipe, common practice).
 */
import { nozzleAreaMm2, nozzleDropKpa } from '../../src/engineering/nozzle.ts';
import type { Job, Recipe } from '../../src/plan/job.ts';
import type { Engineering } from './engineering.ts';

export interface Hydraulics {
  readonly densityKgPerM3: number;
  readonly dischargeCoefficient: number;
  readonly lowAreaMm2: number;
  readonly highAreaMm2: number;
  /** The valve shifts up at this flow and falls back at `VALVE_FALLS_BACK_AT` of it. */
  readonly shiftsAtLPerMin: number;
  readonly stringLoss: { readonly flow: number; readonly pressure: number };
}

export const STRING_LOSS_EXPONENT = 1.8;
export const VALVE_FALLS_BACK_AT = 0.85;

/** Flows at which the nozzles are sized when the plan does not name them, L/min. */
const SIZING = { shiftsAt: 1100, low: 900, high: 1200, dischargeCoefficient: 0.95 } as const;

export function stringLossKpa(h: Hydraulics, flowLPerMin: number): number {
  return h.stringLoss.pressure * (flowLPerMin / h.stringLoss.flow) ** STRING_LOSS_EXPONENT;
}

/**
 * @param valve 0 low path, 1 high path, between while it shifts
 * @param plugging share of the area that is left, 1 for clean nozzles
 * @param leak share of the flow that leaves the string right above the nozzles
 */
export function standpipeKpa(h: Hydraulics, flowLPerMin: number, valve: number, plugging = 1, leak = 0): number {
  const area = (h.lowAreaMm2 + (h.highAreaMm2 - h.lowAreaMm2) * valve) * plugging;
  const through = flowLPerMin * (1 - leak);
  return nozzleDropKpa(through, area, h.densityKgPerM3, h.dischargeCoefficient) + stringLossKpa(h, flowLPerMin);
}

/** Bisection steps: 40 halve 10,000 L/min to far below any reading. */
const HALVINGS = 40;
const FLOW_CEILING = 10_000;

/** The flow that makes a pressure through one path, L/min, whatever the valve would do. */
export function flowForKpa(h: Hydraulics, pressureKpa: number, valve: 0 | 1): number {
  let low = 0;
  let high = FLOW_CEILING;
  for (let i = 0; i < HALVINGS; i++) {
    const middle = (low + high) / 2;
    if (standpipeKpa(h, middle, valve) < pressureKpa) low = middle;
    else high = middle;
  }
  return low;
}

/** The flow that makes a pressure where the recipe is judged, at the standpipe or at the tool, L/min. */
export function flowForRecipe(h: Hydraulics, recipe: Recipe, pressureKpa: number): number {
  const from = recipe.pressureAt === 'tool' ? { ...h, stringLoss: { ...h.stringLoss, pressure: 0 } } : h;
  return flowForKpa(from, pressureKpa, valveFor(recipe));
}

/** The pressure a driller aims for: a share of the way from the recipe's minimum to its maximum, kPa. */
export function aimedKpa(recipe: Recipe, share: number): number {
  const min = Number.isFinite(recipe.pressureMinKpa) ? recipe.pressureMinKpa : recipe.pressureMaxKpa * 0.7;
  const max = Number.isFinite(recipe.pressureMaxKpa) ? recipe.pressureMaxKpa : min * 1.4;
  return Number.isFinite(min) ? min + (max - min) * share : 8000;
}

/** Isolation joints are worked through the high path. */
export const valveFor = (recipe: Recipe): 0 | 1 => (recipe.kind === 'isolation' ? 1 : 0);

/** The plan's own flow path, or nozzles sized so that both recipes are met at everyday flows. */
export function hydraulicsOf(
  job: Job,
  engineering: Engineering,
  stringLoss: Hydraulics['stringLoss'],
  share: number,
): Hydraulics {
  const density = engineering.densityKgPerM3;
  const given = engineering.flowPath;
  if (given) {
    return {
      densityKgPerM3: density,
      dischargeCoefficient: given.dischargeCoefficient,
      lowAreaMm2: given.lowAreaMm2,
      highAreaMm2: given.highAreaMm2,
      shiftsAtLPerMin: given.shiftsAtLPerMin,
      stringLoss,
    };
  }
  const size = (flow: number, aim: number): number => {
    const loss = stringLoss.pressure * (flow / stringLoss.flow) ** STRING_LOSS_EXPONENT;
    return nozzleAreaMm2(flow, Math.max(aim - loss, aim * 0.1), density, SIZING.dischargeCoefficient);
  };
  const { isolation, screen } = job.recipes;
  return {
    densityKgPerM3: density,
    dischargeCoefficient: SIZING.dischargeCoefficient,
    lowAreaMm2: size(SIZING.low, screen ? aimedKpa(screen, share) : 8000),
    highAreaMm2: size(SIZING.high, isolation ? aimedKpa(isolation, share) : 18_000),
    shiftsAtLPerMin: SIZING.shiftsAt,
    stringLoss,
  };
}
