/** The hole that was logged against what the tools can follow, and the shift of the liner that would suit it best. */
import { type FitJoint, fitJoint, type JointFit, logStretches } from '../engineering/holeFit.ts';
import { MOST_SHIFTS, type SpaceOut, spaceOut } from '../engineering/spaceOut.ts';
import type { CheckBasis } from './checkBasis.ts';
import { CHECK_DEFAULTS } from './checkDefaults.ts';
import type { Target } from './targets.ts';

export interface HoleCheck {
  readonly log: { readonly fromM: number; readonly toM: number; readonly rows: number };
  readonly refusedRows: number;
  /** Those whose tool has a range. */
  readonly joints: readonly { readonly target: Target; readonly fit: JointFit }[];
  readonly spaceOut: SpaceOut | undefined;
  readonly reachM: number;
  readonly stepM: number;
}

/** ± shift that a curve has room for. */
export const MOST_SPACE_OUT_M = Math.floor(((MOST_SHIFTS - 1) / 2) * CHECK_DEFAULTS['check.spaceOut.step'].value);

/** Undefined without a log. */
export function holeCheck(basis: CheckBasis, targets: readonly Target[]): HoleCheck | undefined {
  const { caliper, spaceOutM } = basis.options;
  if (!caliper?.log) return undefined;
  const { depthM } = caliper.log;
  const stretches = logStretches(caliper.log);
  const fits = targets.flatMap((target) => {
    const joint = fitJointOf(target);
    return joint ? [{ target, joint }] : [];
  });
  const isolations = fits.filter(({ target }) => target.kind === 'isolation').map(({ joint }) => joint);
  const reachM = spaceOutM ?? CHECK_DEFAULTS['check.spaceOut.reach'].value;
  const stepM = CHECK_DEFAULTS['check.spaceOut.step'].value;
  return {
    log: { fromM: depthM[0]!, toM: depthM.at(-1)!, rows: depthM.length },
    refusedRows: caliper.refusedRows,
    joints: fits.map(({ target, joint }) => ({
      target,
      fit: fitJoint(joint, stretches, CHECK_DEFAULTS['check.contact.tolerance'].value),
    })),
    spaceOut: isolations.length > 0 ? spaceOut(isolations, stretches, { reachM, stepM }) : undefined,
    reachM,
    stepM,
  };
}

/** A joint whose expanded diameter the plan names is taken to it; one without follows the hole within the tool's range. */
function fitJointOf({ joint, tool }: Target): FitJoint | undefined {
  const { rangeMm } = tool;
  if (!rangeMm) return undefined;
  const range = { minMm: rangeMm.min, maxMm: rangeMm.max };
  return {
    name: joint.name,
    fromM: joint.from,
    toM: joint.to,
    runOdMm: joint.odMm,
    expansion: Number.isNaN(joint.expandedOdMm)
      ? { kind: 'compliant', ...range }
      : { kind: 'fixed', odMm: joint.expandedOdMm, ...range },
    ...(Number.isNaN(joint.elastomerMm) ? {} : { elastomerMm: joint.elastomerMm }),
  };
}
