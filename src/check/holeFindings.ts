/** The logged hole against the tools' range, joint by joint. */
import type { JointFit } from '../engineering/holeFit.ts';
import type { CheckWork } from './checkWork.ts';
import type { Found } from './findings.ts';
import type { HoleCheck } from './holeCheck.ts';
import { metres, mm, percent } from './measures.ts';
import type { Target } from './targets.ts';

/** A share that is told as 0.0 % is none. */
const LEAST_SHARE = 0.0005;

export function holeFindings({ hole, legs }: CheckWork): Found[] {
  if (!hole) return [];
  const { joints, refusedRows } = hole;
  return [
    ...joints.flatMap(({ target, fit }) => [
      ...outOfGauge(target, fit),
      ...touches(target, fit),
      ...notLogged(target, fit),
    ]),
    ...betterShift(hole),
    ...(refusedRows > 0
      ? [{ severity: 'warn' as const, joint: null, text: `rows of the caliper log that were refused: ${refusedRows}` }]
      : []),
    ...legs.flatMap(({ target }): Found[] => (joints.some((one) => one.target === target) ? [] : [noRange(target)])),
    ...joints.flatMap(({ target }) => diameters(target)),
  ];
}

const rangeText = ({ tool }: Target) => `(tools[${tool.index}].range)`;

function outOfGauge(target: Target, fit: JointFit): Found[] {
  const range = target.tool.rangeMm!;
  const found: Found[] = [];
  if (fit.overGauge >= LEAST_SHARE) {
    const text = [`${percent(fit.overGauge)} of the length is over gauge, more than `, mm(range.max)];
    found.push({ severity: 'warn', joint: target.joint, text: [...text, ` ${rangeText(target)}`] });
  }
  if (fit.tight >= LEAST_SHARE) {
    const text = [`${percent(fit.tight)} of the length is tight, less than `, mm(range.min), ` ${rangeText(target)}`];
    found.push({ severity: 'warn', joint: target.joint, text });
  }
  return found;
}

/** An isolation joint seals where it touches. */
function touches({ kind, joint }: Target, fit: JointFit): Found[] {
  if (kind !== 'isolation' || !(fit.contact <= 1 - LEAST_SHARE)) return [];
  const text = [
    `${percent(1 - fit.contact)} of the logged length is left without contact, the widest gap `,
    mm(fit.widestGapMm),
    ' from the expanded pipe to the wall (liner.joints expandedOd, elastomer)',
  ];
  return [{ severity: 'warn', joint, text }];
}

function notLogged({ joint }: Target, fit: JointFit): Found[] {
  if (fit.noLog < LEAST_SHARE) return [];
  return [{ severity: 'warn', joint, text: `${percent(fit.noLog)} of the length has no caliper log` }];
}

function betterShift({ spaceOut, reachM }: HoleCheck): Found[] {
  if (!spaceOut || spaceOut.shiftM === 0) return [];
  const text = [
    'isolation joints have ',
    metres(spaceOut.asPlannedM),
    ' of ',
    metres(spaceOut.lengthM),
    ' in gauge; the liner ',
    metres(Math.abs(spaceOut.shiftM)),
    ` ${spaceOut.shiftM > 0 ? 'deeper' : 'higher'} has `,
    metres(spaceOut.inGaugeM),
    ' (the best within ± ',
    metres(reachM),
    ')',
  ];
  return [{ severity: 'warn', joint: null, text }];
}

function noRange({ joint, tool }: Target): Found {
  const text = `tools[${tool.index}].range of ${tool.name} is not given: the joint is not checked against the hole`;
  return { severity: 'note', joint, text };
}

function diameters({ joint }: Target): Found[] {
  const missing = [
    ...(Number.isNaN(joint.odMm) ? ['od: annular volume closed'] : []),
    ...(Number.isNaN(joint.expandedOdMm) && !Number.isNaN(joint.elastomerMm)
      ? ['expandedOd: squeeze of the elastomer']
      : []),
    ...(joint.kind === 'isolation' && Number.isNaN(joint.elastomerMm) ? ['elastomer: squeeze'] : []),
  ];
  const at = `liner.joints[${joint.index}]`;
  return missing.map((what) => ({
    severity: 'note' as const,
    joint,
    text: `not given: ${at}.${what} cannot be worked out`,
  }));
}
