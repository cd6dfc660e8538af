/** Conditions of the well and of the readings themselves. Losses and gains come first. */
import type { MeasuredText } from '../measuredText.ts';
import { type Condition, isAbove, type Moment, measure } from './condition.ts';
import type { Run } from './runState.ts';
import { changedWords } from './unitWatch.ts';
import { flowOff, stationaryMs } from './wellWatch.ts';

/** How far the worse of tank and flow out is towards its limit: 1 at the limit. */
function gainSeverity({ run }: Moment): number {
  const { limits } = run.job.engineering;
  return Math.max(run.wellWatch.tanks.gain / limits.tankGainM3, flowOff(run) / limits.flowDifferenceShare);
}

function lossSeverity({ run }: Moment): number {
  const { limits } = run.job.engineering;
  return Math.max(run.wellWatch.tanks.loss / limits.tankLossM3, -flowOff(run) / limits.flowDifferenceShare);
}

/** What is of the well and not of a joint goes on from joint to joint. */
const ofTheWell = ({ run }: Moment) => ({ joint: null, depth: run.endDepth.depth });

const percent = (share: number): string => `${(100 * share).toFixed(0)} %`;

function balanceWords(run: Run, metres3: number, tank: string, off: number, flow: string): MeasuredText {
  const { limits } = run.job.engineering;
  const words: Exclude<MeasuredText, string> = [];
  if (metres3 > 0.1) words.push(`tanks ${tank} `, measure('volume', metres3, 1), ' at constant conditions');
  if (off > 0.5 * limits.flowDifferenceShare) {
    words.push(`${words.length > 0 ? ', ' : ''}flow out ${percent(off)} ${flow} its usual share of flow in`);
  }
  return words;
}

export const WELL_CONDITIONS: readonly Condition[] = [
  {
    kind: 'gain',
    breach: 0,
    worseIs: 'high',
    stands: (m) => isAbove(m, 'gain', gainSeverity(m), 1),
    at: ofTheWell,
    value: gainSeverity,
    says: ({ run }) => balanceWords(run, run.wellWatch.tanks.gain, 'up', flowOff(run), 'above'),
  },
  {
    kind: 'losses',
    breach: 0,
    worseIs: 'high',
    stands: (m) => isAbove(m, 'losses', lossSeverity(m), 1),
    at: ofTheWell,
    value: lossSeverity,
    says: ({ run }) => balanceWords(run, run.wellWatch.tanks.loss, 'down', -flowOff(run), 'below'),
  },
  {
    kind: 'pack-off',
    breach: 0,
    worseIs: 'high',
    stands: ({ run }) => run.wellWatch.packOff.rise > 0,
    at: ofTheWell,
    value: ({ run }) => run.wellWatch.packOff.rise,
    says: ({ run }, worst) => {
      const { torque, hookload } = run.wellWatch.packOff;
      return [
        `pressure up ${percent(worst)} at the same flow, torque by `,
        measure('torque', torque.quick - torque.slow, 1),
        ', hookload by ',
        measure('force', hookload.quick - hookload.slow, 0),
      ];
    },
  },
  {
    kind: 'stick-slip',
    breach: 0,
    worseIs: 'high',
    stands: (m) =>
      isAbove(m, 'stick-slip', m.run.wellWatch.stickSlip.swingShare, m.run.job.engineering.limits.stickSlipShare),
    value: ({ run }) => run.wellWatch.stickSlip.swingShare,
    says: ({ run }, worst) =>
      `torque swings by up to ${percent(worst)} of its mean, about every ${run.wellWatch.stickSlip.periodS.toFixed(0)} s`,
  },
  {
    kind: 'long stationary',
    breach: 0,
    worseIs: 'high',
    isPlanned: ({ engineering: { limits } }) => limits.stationaryMs < Infinity,
    stands: ({ run }) => !Number.isNaN(stationaryMs(run)),
    at: ofTheWell,
    value: () => 0,
    sinceMs: ({ run }) => stationaryMs(run),
    says: ({ run }) =>
      `no movement in open hole for more than ${(run.job.engineering.limits.stationaryMs / 1000).toFixed(0)} s`,
  },
  {
    kind: 'unit change',
    breach: 0,
    worseIs: 'high',
    stands: ({ run }) => !Number.isNaN(run.unitWatch.changedMs),
    at: ofTheWell,
    value: () => 0,
    sinceMs: ({ run }) => run.unitWatch.changedMs,
    says: ({ run }) => changedWords(run.unitWatch),
  },
];
