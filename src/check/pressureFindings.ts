/** Flow and pressure: the valve's flow, the limits at surface and on the hole, the windows of the two recipes. */
import { EXPANDED_KINDS } from '../plan/planSchema.ts';
import type { CheckWork, Leg } from './checkWork.ts';
import type { Found } from './findings.ts';
import { kgPerM3, kPa, lPerMin } from './measures.ts';
import { PATH_OF } from './targets.ts';

export function pressureFindings(work: CheckWork): Found[] {
  return [
    ...work.legs.flatMap((leg) => [...wrongSide(work, leg), ...noFlow(leg), ...overLimits(work, leg)]),
    ...windowsOverlap(work),
    ...EXPANDED_KINDS.flatMap((kind) => {
      const legs = work.legs.filter(({ target }) => target.kind === kind);
      return legs.length > 0 ? [...windowBounds(legs[0]!), ...partOfWindow(work, legs)] : [];
    }),
  ];
}

const windowOf = ({ target }: Leg): string => `recipes.${target.kind}.pressure`;
const pathOf = ({ target }: Leg): string => PATH_OF[target.kind];

/** An isolation joint needs the valve shifted, a screen needs it not shifted. */
function wrongSide(work: CheckWork, leg: Leg): Found[] {
  const { flowPath } = work.basis.job.engineering;
  const { flowLPerMin } = leg.hydraulics;
  const { joint, aimKpa } = leg.target;
  if (!flowPath || !(flowLPerMin > 0)) return [];
  const high = pathOf(leg) === 'high';
  if (high === flowLPerMin >= flowPath.shiftsAtLPerMin) return [];
  const side = high ? 'under' : 'not under';
  const text = [
    'flow ',
    lPerMin(flowLPerMin),
    ` for ${leg.target.recipe.pressureAt} pressure `,
    kPa(aimKpa),
    ` (middle of ${windowOf(leg)}) on the ${pathOf(leg)} path is ${side} `,
    lPerMin(flowPath.shiftsAtLPerMin),
    ' where the valve shifts (flowPath.shiftsAt)',
  ];
  return [{ severity: 'stop', joint, text }];
}

function noFlow(leg: Leg): Found[] {
  const { flowLPerMin } = leg.hydraulics;
  if (flowLPerMin !== 0) return [];
  const text = [
    'pressure ',
    kPa(leg.target.aimKpa),
    ` (${windowOf(leg)}) does not make the fluid of fluid.dials move: no flow`,
  ];
  return [{ severity: 'stop', joint: leg.target.joint, text }];
}

function overLimits({ basis }: CheckWork, { target, hydraulics }: Leg): Found[] {
  const { standpipeMaxKpa, ecdMaxKgPerM3 } = basis.job.engineering.limits;
  const { standpipeKpa, ecdKgPerM3 } = hydraulics;
  const found: Found[] = [];
  if (standpipeKpa > standpipeMaxKpa) {
    const text = ['standpipe pressure ', kPa(standpipeKpa), ' is over ', kPa(standpipeMaxKpa)];
    found.push({ severity: 'stop', joint: target.joint, text: [...text, ' (limits.standpipe.max)'] });
  }
  if (ecdKgPerM3 > ecdMaxKgPerM3) {
    const text = ['equivalent circulating density ', kgPerM3(ecdKgPerM3), ' is over ', kgPerM3(ecdMaxKgPerM3)];
    found.push({ severity: 'stop', joint: target.joint, text: [...text, ' (limits.ecd.max)'] });
  }
  return found;
}

/** With windows that overlap a pressure does not tell which joint is being rolled as planned. */
function windowsOverlap({ basis }: CheckWork): Found[] {
  const { isolation, screen } = basis.job.recipes;
  if (!isolation || !screen || isolation.pressureAt !== screen.pressureAt) return [];
  const { pressureMinKpa: least } = isolation;
  const { pressureMaxKpa: most } = screen;
  if (!Number.isFinite(least) || !Number.isFinite(most) || most < least) return [];
  const text = [
    'the windows overlap: screens up to ',
    kPa(most),
    ' (recipes.screen.pressure.max), isolation joints from ',
    kPa(least),
    ' (recipes.isolation.pressure.min)',
  ];
  return [{ severity: 'warn', joint: null, text }];
}

function windowBounds(leg: Leg): Found[] {
  const { pressureMinKpa: min, pressureMaxKpa: max } = leg.target.recipe;
  if (Number.isFinite(min) && Number.isFinite(max)) return [];
  if (Number.isNaN(leg.target.aimKpa)) {
    const text = `${windowOf(leg)} sets no bound: flow and pressures of these joints cannot be worked out`;
    return [{ severity: 'warn', joint: null, text }];
  }
  const bound = Number.isFinite(min) ? 'min' : 'max';
  return [
    {
      severity: 'note',
      joint: null,
      text: [`${windowOf(leg)} has only ${bound} `, kPa(leg.target.aimKpa), ': aimed at'],
    },
  ];
}

/** The part of the window that cannot be held on the right side of the valve, at the joint where it is greatest. */
function partOfWindow({ basis }: CheckWork, legs: readonly Leg[]): Found[] {
  const { flowPath } = basis.job.engineering;
  const high = pathOf(legs[0]!) === 'high';
  const outside = ({ target, hydraulics: { shiftKpa } }: Leg): number =>
    high ? shiftKpa - target.recipe.pressureMinKpa : target.recipe.pressureMaxKpa - shiftKpa;
  const worst = legs.reduce((most, leg) => (outside(leg) > outside(most) ? leg : most));
  const beyond = outside(worst);
  if (!flowPath || !Number.isFinite(beyond) || beyond <= 0) return [];
  const { pressureMinKpa, pressureMaxKpa } = worst.target.recipe;
  const text = [
    high ? 'under ' : 'from ',
    kPa(worst.hydraulics.shiftKpa),
    ' the flow is ',
    high ? 'under ' : 'not under ',
    lPerMin(flowPath.shiftsAtLPerMin),
    ` (flowPath.shiftsAt), and ${windowOf(worst)} reaches ${high ? 'down' : 'up'} to `,
    kPa(high ? pressureMinKpa : pressureMaxKpa),
  ];
  return [{ severity: 'note', joint: worst.target.joint, text }];
}
