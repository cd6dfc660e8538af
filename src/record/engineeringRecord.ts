/** What the engineering adds to the record: steps with their evidence, calibration, depth, defaults that were used. */
import { CAUTION } from '../caution.ts';
import { inUnits } from '../inUnits.ts';
import { depthAtToolNow } from '../pipeline/depthAtTool.ts';
import type { Run } from '../pipeline/runState.ts';
import { toolPressureNow } from '../pipeline/toolPressure.ts';
import { turnedOff } from '../pipeline/turnedOff.ts';
import { PLAN_DEFAULTS } from '../plan/defaults.ts';
import type { Step } from '../steps.ts';
import { SYSTEM_UNITS, UNITS, type UnitSystemConverter } from '../units.ts';
import type { RunRecord } from './recordSchema.ts';

type EngineeringPart = Pick<RunRecord, 'steps' | 'toolPressure' | 'depth' | 'defaults' | 'turnedOff' | 'caution'>;

const rounded = (value: number, decimals: number): number => {
  const at = Math.round(value * 10 ** decimals) / 10 ** decimals;
  return at === 0 ? 0 : at;
};
const instant = (ms: number): string => new Date(Math.round(ms)).toISOString();

export function engineeringRecord(run: Run, units: UnitSystemConverter): EngineeringPart {
  const { engineering } = run.job;
  const part: EngineeringPart = {};
  if (run.steps.steps.length > 0) part.steps = run.steps.steps.map((step) => stepRecord(step, units));
  const pressure = toolPressureNow(run);
  if (pressure)
    part.toolPressure = { losses: pressure.losses, calibration: calibrationRecord(pressure.calibration, units) };
  const depth = depthAtToolNow(run);
  part.depth = {
    corrected: depth.corrected,
    correction: rounded(units.out('length', run.correctionM), 3),
    uncertainty: rounded(units.out('length', depth.sigma ?? 0), 3),
  };
  part.defaults = engineering.defaults.map((place) => {
    const { value, quantity, decimals, what } = PLAN_DEFAULTS[place];
    return {
      place,
      value: rounded(units.out(quantity, value), decimals + 2),
      unit: UNITS[SYSTEM_UNITS[units.system][quantity]].label,
      what,
    };
  });
  const off = turnedOff(run);
  if (off.length > 0) part.turnedOff = off;
  part.caution = CAUTION;
  return part;
}

function stepRecord(step: Step, units: UnitSystemConverter): NonNullable<RunRecord['steps']>[number] {
  return {
    kind: step.kind,
    name: step.name,
    from: instant(step.fromMs),
    to: step.toMs === null ? null : instant(step.toMs),
    outcome: step.outcome,
    detail: inUnits(step.detail, units.system),
    numbers: step.numbers.map(({ name, value }) => ({
      name,
      value: rounded(units.out(value.quantity, value.value), value.decimals),
      unit: units.label(value.quantity),
    })),
  };
}

type Calibration = NonNullable<ReturnType<typeof toolPressureNow>>['calibration'];

function calibrationRecord(
  calibration: Calibration,
  units: UnitSystemConverter,
): NonNullable<RunRecord['toolPressure']>['calibration'] {
  if (!calibration) return null;
  return {
    points: calibration.points,
    rates: calibration.rates,
    scatter: rounded(calibration.scatter, 4),
    flowMin: rounded(units.out('flow', calibration.flowMin), 1),
    flowMax: rounded(units.out('flow', calibration.flowMax), 1),
    from: instant(calibration.fromMs),
    to: instant(calibration.toMs),
  };
}
