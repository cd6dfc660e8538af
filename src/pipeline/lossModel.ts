/**
 * What the string and the annulus cost by the plan, kPa, for a flow with the string's end at a depth. A trip asks for it at
 * every sample: losses are kept in steps of flow and worked out again only where the end has moved on.
 */
import { type Circuit, circuitOf, circulate } from '../engineering/circulation.ts';
import type { Fluid } from '../engineering/flowLoss.ts';
import { flowingFluidOf } from '../plan/flowingFluid.ts';
import type { Job } from '../plan/job.ts';

export interface LossModel {
  readonly fluid: Fluid;
  circuit: Circuit;
  /** End depth that the table holds for, m; NaN before the first. */
  depthM: number;
  /** Loss, kPa, by steps of flow; NaN where it was not asked for yet. */
  tableKpa: number[];
}

/** Between two steps a loss runs straight: at 100 L/min that is off by less than 0.2 %. */
const STEP_L_PER_MIN = 10;
/** No rig pumps more down one string. */
const MOST_L_PER_MIN = 12_000;
/** Of 2,500 m of string 10 m cost 0.4 % of the loss. */
const DEPTH_STEP_M = 10;

/** Null where the plan has no string, or no fluid whose dials make a flow curve. */
export function createLossModel(job: Job): LossModel | null {
  const { fluid, string } = job.engineering;
  if (!fluid || string.length === 0) return null;
  const flowing = flowingFluidOf(fluid);
  if (!flowing) return null;
  return { fluid: flowing, circuit: circuitAt(job, flowing, 1), depthM: Number.NaN, tableKpa: [] };
}

/** Pressure at the tool is a difference along the string: neither vertical depth nor nozzles take part. */
function circuitAt(job: Job, fluid: Fluid, endDepthM: number): Circuit {
  const { string, hole } = job.engineering;
  const nozzles = { areaMm2: 1, dischargeCoefficient: 1 };
  return circuitOf({ fluid, string, hole, endDepthM, tvdAt: () => Number.NaN, nozzles });
}

/** Loss in pipe and annulus, kPa; NaN where flow or depth is not known or out of any range. */
export function modelLossKpa(model: LossModel, job: Job, flowLPerMin: number, endDepthM: number): number {
  if (!(flowLPerMin >= 0) || flowLPerMin > MOST_L_PER_MIN || !(endDepthM > 0)) return Number.NaN;
  if (!(Math.abs(endDepthM - model.depthM) <= DEPTH_STEP_M)) {
    model.circuit = circuitAt(job, model.fluid, endDepthM);
    model.depthM = endDepthM;
    model.tableKpa = new Array<number>(MOST_L_PER_MIN / STEP_L_PER_MIN + 2).fill(Number.NaN);
    model.tableKpa[0] = 0;
  }
  const at = flowLPerMin / STEP_L_PER_MIN;
  const step = Math.floor(at);
  const below = tableKpa(model, step);
  return below + (tableKpa(model, step + 1) - below) * (at - step);
}

function tableKpa(model: LossModel, step: number): number {
  const kept = model.tableKpa[step]!;
  if (!Number.isNaN(kept)) return kept;
  const { pipeLossKpa, annulusLossKpa } = circulate(model.circuit, step * STEP_L_PER_MIN);
  const lossKpa = pipeLossKpa + annulusLossKpa;
  model.tableKpa[step] = lossKpa;
  return lossKpa;
}
