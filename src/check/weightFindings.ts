/** Weights and torque against the plan's limits. */
import type { CheckWork, Leg } from './checkWork.ts';
import type { Found } from './findings.ts';
import { kN, kNm } from './measures.ts';

export function weightFindings(work: CheckWork): Found[] {
  return [
    ...work.legs.flatMap((leg) => [...overHookload(work, leg), ...overTorque(leg)]),
    ...overpullOnTop(work),
    ...setDownFindings(work),
  ];
}

function overHookload({ basis }: CheckWork, { target, weights }: Leg): Found[] {
  const { hookloadMaxKn } = basis.job.engineering.limits;
  if (!(weights.upKn > hookloadMaxKn)) return [];
  const text = ['hookload up ', kN(weights.upKn), ' is over ', kN(hookloadMaxKn), ' (limits.hookload.max)'];
  return [{ severity: 'stop', joint: target.joint, text }];
}

function overTorque({ target, weights }: Leg): Found[] {
  const { torqueMaxKnm } = target.recipe;
  if (!(weights.torqueKnm > torqueMaxKnm)) return [];
  const text = ['torque ', kNm(weights.torqueKnm), ' turning free off bottom is over ', kNm(torqueMaxKnm)];
  return [{ severity: 'stop', joint: target.joint, text: [...text, ` (recipes.${target.kind}.torque.max)`] }];
}

/** An overpull that is allowed by itself and still passes the hookload's limit, where the string is heaviest. */
function overpullOnTop({ basis, legs }: CheckWork): Found[] {
  const { hookloadMaxKn, overpullMaxKn } = basis.job.engineering.limits;
  const heaviest = legs.reduce<Leg | undefined>((most, leg) => {
    return most && !(leg.weights.upKn > most.weights.upKn) ? most : leg;
  }, undefined);
  if (!heaviest || !Number.isFinite(overpullMaxKn)) return [];
  const { upKn } = heaviest.weights;
  if (!(upKn <= hookloadMaxKn && upKn + overpullMaxKn > hookloadMaxKn)) return [];
  const text = [
    'hookload up ',
    kN(upKn),
    ' leaves ',
    kN(hookloadMaxKn - upKn),
    ' of pull to ',
    kN(hookloadMaxKn),
    ' (limits.hookload.max), less than ',
    kN(overpullMaxKn),
    ' (limits.overpull.max)',
  ];
  return [{ severity: 'warn', joint: heaviest.target.joint, text }];
}

/** None at all at a joint, or less than the plan allows: told where it is least. */
function setDownFindings({ basis, legs }: CheckWork): Found[] {
  const { setDownMaxKn } = basis.job.engineering.limits;
  const none = legs.filter(({ weights }) => weights.setDownKn === 0);
  if (none.length > 0) {
    return none.map(({ target, weights }) => {
      const why = weights.setDownEnds === 'buckling' ? 'the string is in waves' : 'friction takes all of its weight';
      return { severity: 'stop', joint: target.joint, text: `no weight can be set down on the tool: ${why}` };
    });
  }
  const ended = legs.filter(({ weights }) => weights.setDownKn < setDownMaxKn);
  if (ended.length === 0 || !Number.isFinite(setDownMaxKn)) return [];
  const { target, weights } = ended.reduce((least, leg) =>
    leg.weights.setDownKn < least.weights.setDownKn ? leg : least,
  );
  const text = [
    `set-down ends by ${weights.setDownEnds} at `,
    kN(weights.setDownKn),
    ', before ',
    kN(setDownMaxKn),
    ' (limits.setDown.max)',
  ];
  return [{ severity: 'warn', joint: target.joint, text }];
}
