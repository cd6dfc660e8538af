/** Parts of the plan that do not reach as far as the trip, or cannot be as they are written. */
import { plainEndMassKgM } from '../engineering/buoyancy.ts';
import { layString } from '../engineering/circulation.ts';
import type { CheckWork } from './checkWork.ts';
import type { Found } from './findings.ts';
import { kgPerM, kPa, metres, mm } from './measures.ts';
import { isWorkable, WORKABLE } from './targets.ts';

/** Lengths below this are rounding of the plan. */
const LEAST_M = 0.005;
/** A mass as tabulated is rounded: a section is too light when it lacks more than this share. */
const MASS_ROUNDING = 0.005;

export function coverFindings(work: CheckWork): Found[] {
  return [
    ...beyondWorking(work),
    ...stringReach(work),
    ...holeReach(work),
    ...surveyReach(work),
    ...lightSections(work),
    ...wideSections(work),
    ...dials(work),
  ];
}

function beyondWorking({ legs }: CheckWork): Found[] {
  return legs.flatMap(({ target }): Found[] => {
    if (isWorkable(target)) return [];
    const { joint, endDepthM, aimKpa } = target;
    const { endDepthM: deepest, pressureKpa: most } = WORKABLE;
    const text =
      endDepthM > deepest
        ? ['not worked out: the string ends at ', metres(endDepthM), ', expected at most ', metres(deepest)]
        : [`not worked out: recipes.${target.kind}.pressure `, kPa(aimKpa), ', expected at most ', kPa(most)];
    return [{ severity: 'stop', joint, text }];
  });
}

function stringReach({ basis, legs }: CheckWork): Found[] {
  const { string } = basis.job.engineering;
  const deepest = deepestOf(legs);
  if (string.length === 0 || !deepest) return [];
  const length = string.reduce((sum, part) => sum + part.lengthM, 0);
  const { endDepthM, joint } = deepest;
  if (length >= endDepthM - LEAST_M) return [];
  const text = [
    'the string is ',
    metres(length),
    ' long, ',
    metres(endDepthM - length),
    ' short of its end at ',
    metres(endDepthM),
    `: the rest is taken as more of ${string[0]!.name} (string[0].length)`,
  ];
  // A string that lacks half of its length is mistyped, not spaced out.
  const severity = length < endDepthM / 2 ? 'stop' : 'warn';
  return [{ severity, joint, text }];
}

const deepestOf = (legs: CheckWork['legs']) =>
  legs
    .map(({ target }) => target)
    .reduce<CheckWork['legs'][number]['target'] | undefined>((deepest, one) => {
      return deepest && deepest.endDepthM >= one.endDepthM ? deepest : one;
    }, undefined);

/** Told for the deepest joint: what is missing above is missing for all. */
function holeReach({ legs, basis }: CheckWork): Found[] {
  const joint = deepestOf(legs)?.joint ?? null;
  const most = (of: (leg: CheckWork['legs'][number]) => number): number => Math.max(0, ...legs.map(of));
  const uncovered = most(({ weights }) => weights.uncoveredM);
  const unknown = most(({ hydraulics }) => hydraulics.unknownAnnulusM);
  const end = metres(basis.job.engineering.hole.at(-1)?.toM ?? 0);
  const found: Found[] = [];
  if (uncovered > LEAST_M) {
    const text = ['no hole section covers ', metres(uncovered), ' of the string (hole ends at ', end];
    found.push({ severity: 'warn', joint, text: [...text, '): friction of the nearest section is used there'] });
  }
  if (unknown > LEAST_M) {
    const text = ['around ', metres(unknown), ' of the string no hole section is wider than it (hole ends at ', end];
    found.push({ severity: 'warn', joint, text: [...text, '): no pressure loss is counted there'] });
  }
  return found;
}

function surveyReach({ basis }: CheckWork): Found[] {
  const last = basis.job.engineering.survey.at(-1);
  const liner = basis.job.joints.at(-1)!;
  if (!last || last.mdM >= liner.bottom - LEAST_M) return [];
  const text = [
    'the survey ends at ',
    metres(last.mdM),
    `, above the end of the liner at `,
    metres(liner.bottom),
    `: the hole is taken as straight below (survey[${basis.job.engineering.survey.length - 1}].md)`,
  ];
  return [{ severity: 'warn', joint: liner, text }];
}

function lightSections({ basis }: CheckWork): Found[] {
  return basis.job.engineering.string.flatMap(({ name, odMm, idMm, massKgPerM }, i): Found[] => {
    const plainEnd = plainEndMassKgM(odMm, idMm);
    if (massKgPerM >= plainEnd * (1 - MASS_ROUNDING)) return [];
    const text = [
      `${name} weighs `,
      kgPerM(massKgPerM),
      ` (string[${i}].mass), less than plain pipe of its od and id, `,
      kgPerM(plainEnd),
    ];
    return [{ severity: 'warn', joint: null, text }];
  });
}

/** A section that does not pass the hole it hangs in, at the deepest joint. */
function wideSections({ basis, legs }: CheckWork): Found[] {
  const { string, hole } = basis.job.engineering;
  const deepest = deepestOf(legs);
  if (string.length === 0 || !deepest) return [];
  return layString(string, deepest.endDepthM).flatMap(({ fromM, toM, section }): Found[] => {
    const part = string.find((one) => one === section)!;
    const narrow = hole.find((one) => one.fromM < toM && one.toM > fromM && one.idMm <= part.contactMm);
    if (!narrow) return [];
    const text = [`${part.name} is `, mm(part.contactMm), ' wide (string), the hole from ', metres(narrow.fromM)];
    return [{ severity: 'stop', joint: null, text: [...text, ' ', mm(narrow.idMm), ' (hole)'] }];
  });
}

function dials({ basis }: CheckWork): Found[] {
  const { rheology, strangeDials } = basis;
  const found: Found[] = strangeDials.map((rpm) => ({
    severity: 'note',
    joint: null,
    text: `fluid.dials.${rpm}: a speed that is not read here is left out of the fit`,
  }));
  if (rheology?.kind === 'refused') {
    const text = `fluid.dials: ${rheology.problem}: no flow curve, losses and flows cannot be worked out`;
    found.push({ severity: 'warn', joint: null, text });
  }
  return found;
}
