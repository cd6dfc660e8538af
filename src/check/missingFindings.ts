/** Parts that the plan leaves out, each with what cannot be worked out or is not judged without it. */

import type { Severity } from './checkSchema.ts';
import type { CheckWork } from './checkWork.ts';
import type { Found } from './findings.ts';

interface Part {
  readonly place: string;
  readonly severity: Severity;
  readonly isMissing: (work: CheckWork) => boolean;
  readonly without: string;
}

const PARTS: readonly Part[] = [
  {
    place: 'string',
    severity: 'warn',
    isMissing: ({ basis }) => basis.string.length === 0,
    without: 'flow, pressures, hookload, torque, stretch, set-down and balls cannot be worked out',
  },
  {
    place: 'fluid',
    severity: 'warn',
    isMissing: ({ basis }) => !basis.job.engineering.fluid,
    without: 'flow, pressures, density, hookload, torque and stretch cannot be worked out',
  },
  {
    place: 'fluid.dials',
    severity: 'warn',
    isMissing: ({ basis }) => basis.job.engineering.fluid?.dials.length === 0,
    without: 'pressure losses, flow at a standpipe pressure and density while circulating cannot be worked out',
  },
  {
    place: 'hole',
    severity: 'warn',
    isMissing: ({ basis }) => basis.job.engineering.hole.length === 0,
    without: 'annulus losses, flow, density, drag, torque and set-down cannot be worked out',
  },
  {
    place: 'flowPath',
    severity: 'warn',
    isMissing: ({ basis }) => !basis.job.engineering.flowPath,
    without: 'flow, tool pressure and the side of the valve cannot be worked out',
  },
  {
    place: 'temperature',
    severity: 'note',
    isMissing: ({ basis }) => !basis.job.engineering.temperature,
    without: 'stretch is that of weight alone',
  },
  {
    place: 'surface.pumps',
    severity: 'note',
    isMissing: ({ basis }) => Number.isNaN(basis.litresPerStroke),
    without: 'strokes to the seat of a ball cannot be worked out',
  },
  {
    place: 'balls',
    severity: 'note',
    isMissing: ({ basis }) => basis.job.engineering.balls.length === 0,
    without: 'no ball is timed',
  },
  {
    place: 'hanger',
    severity: 'note',
    isMissing: ({ basis }) => !basis.job.engineering.hanger,
    without: 'its pressure steps, pull and test are not checked',
  },
  {
    place: 'screenTests',
    severity: 'note',
    isMissing: ({ fluid }) => !fluid,
    without: 'nothing shows that the fluid passes the screens',
  },
  {
    place: 'depthTag',
    severity: 'note',
    isMissing: ({ basis }) => !basis.job.engineering.depthTag,
    without: 'depth at the tool is not put right by a tag',
  },
  {
    place: 'caliper log',
    severity: 'note',
    isMissing: ({ hole }) => !hole,
    without: 'the hole is not checked against the tools',
  },
];

export function missingFindings(work: CheckWork): Found[] {
  const parts = PARTS.filter(({ isMissing }) => isMissing(work)).map(({ place, severity, without }): Found => {
    return { severity, joint: null, text: `not given: ${place}: ${without}` };
  });
  return [...parts, ...nothingToExpand(work), ...limitsNotSet(work)];
}

function nothingToExpand({ legs }: CheckWork): Found[] {
  return legs.length > 0 ? [] : [{ severity: 'warn', joint: null, text: 'no joint of the liner is to be expanded' }];
}

/** A limit that is left out is not judged: said, so that nobody takes silence for a pass. */
function limitsNotSet({ basis, legs }: CheckWork): Found[] {
  const { limits } = basis.job.engineering;
  const kinds = [...new Set(legs.map(({ target }) => target.recipe))];
  const unset = [
    ...(Number.isFinite(limits.hookloadMaxKn) ? [] : ['limits.hookload.max']),
    ...(Number.isFinite(limits.overpullMaxKn) ? [] : ['limits.overpull.max']),
    ...(Number.isFinite(limits.setDownMaxKn) ? [] : ['limits.setDown.max']),
    ...(Number.isFinite(limits.standpipeMaxKpa) ? [] : ['limits.standpipe.max']),
    ...(Number.isFinite(limits.ecdMaxKgPerM3) ? [] : ['limits.ecd.max']),
    ...kinds.filter((one) => !Number.isFinite(one.torqueMaxKnm)).map(({ kind }) => `recipes.${kind}.torque.max`),
  ];
  if (unset.length === 0) return [];
  return [{ severity: 'note', joint: null, text: `not judged, the plan sets no limit: ${unset.join(', ')}` }];
}
