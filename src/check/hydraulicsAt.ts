/** Flow and pressures with the tool at one joint: the flow that makes the pressure aimed at, and what it does on its way. */
import {
  type Circuit,
  type Circulation,
  circuitOf,
  circulate,
  flowForStandpipeLPerMin,
  flowForToolDropLPerMin,
} from '../engineering/circulation.ts';
import { nozzleFlowLPerMin } from '../engineering/nozzle.ts';
import type { CheckBasis } from './checkBasis.ts';
import { isWorkable, PATH_OF, type Target } from './targets.ts';

/** NaN where the plan cannot say. */
export interface HydraulicsAt {
  readonly flowLPerMin: number;
  readonly toolKpa: number;
  readonly standpipeKpa: number;
  readonly ecdKgPerM3: number;
  /** Of the recipe's pressure at the flow at which the valve shifts, on this joint's path, kPa. */
  readonly shiftKpa: number;
  /** Metres of string with nothing known around it. */
  readonly unknownAnnulusM: number;
  readonly circulation: Circulation | undefined;
}

function circuitAt(basis: CheckBasis, target: Target): Circuit | undefined {
  const { path, flowing, job } = basis;
  const { string, hole, flowPath } = job.engineering;
  if (!isWorkable(target) || !flowing || !flowPath || string.length === 0 || hole.length === 0) return undefined;
  return circuitOf({
    fluid: flowing,
    string,
    hole,
    endDepthM: target.endDepthM,
    tvdAt: (depthM) => path.at(depthM).tvd,
    nozzles: nozzlesFor(basis, target)!,
  });
}

function nozzlesFor(basis: CheckBasis, { kind }: Target) {
  const { flowPath } = basis.job.engineering;
  return (
    flowPath && {
      areaMm2: PATH_OF[kind] === 'high' ? flowPath.highAreaMm2 : flowPath.lowAreaMm2,
      dischargeCoefficient: flowPath.dischargeCoefficient,
    }
  );
}

export function hydraulicsAt(basis: CheckBasis, target: Target): HydraulicsAt {
  const { recipe, aimKpa } = target;
  const circuit = circuitAt(basis, target);
  if (!circuit) return withoutCircuit(basis, target);
  const atTool = recipe.pressureAt === 'tool';
  const flowLPerMin = Number.isNaN(aimKpa)
    ? Number.NaN
    : atTool
      ? flowForToolDropLPerMin(circuit, aimKpa)
      : flowForStandpipeLPerMin(circuit, aimKpa);
  const circulation = Number.isNaN(flowLPerMin) ? undefined : circulate(circuit, flowLPerMin);
  const shift = circulate(circuit, basis.job.engineering.flowPath!.shiftsAtLPerMin);
  return {
    flowLPerMin,
    toolKpa: circulation?.toolDropKpa ?? Number.NaN,
    standpipeKpa: circulation?.standpipeKpa ?? Number.NaN,
    ecdKgPerM3: circulation?.ecdKgPerM3 ?? Number.NaN,
    shiftKpa: atTool ? shift.toolDropKpa : shift.standpipeKpa,
    unknownAnnulusM: circuit.unknownAnnulusM,
    circulation,
  };
}

/** The pressure aimed at is known as it stands; at the tool, so is the flow, from density and nozzles. */
function withoutCircuit(basis: CheckBasis, target: Target): HydraulicsAt {
  const { recipe, aimKpa } = target;
  const nozzles = nozzlesFor(basis, target);
  const { fluid } = basis.job.engineering;
  const atTool = recipe.pressureAt === 'tool';
  return {
    flowLPerMin:
      atTool && nozzles && fluid
        ? nozzleFlowLPerMin(aimKpa, nozzles.areaMm2, fluid.densityKgPerM3, nozzles.dischargeCoefficient)
        : Number.NaN,
    toolKpa: atTool ? aimKpa : Number.NaN,
    standpipeKpa: atTool ? Number.NaN : aimKpa,
    ecdKgPerM3: Number.NaN,
    shiftKpa: Number.NaN,
    unknownAnnulusM: 0,
    circulation: undefined,
  };
}
