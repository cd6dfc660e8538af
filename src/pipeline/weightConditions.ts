/** Conditions of weight: each only where the plan gives its limit. */
import { type Condition, isAbove, type Moment, tooHigh } from './condition.ts';
import { isOnHanger } from './hangerSense.ts';
import { isPumped, netSetDownOf, overpullOf } from './setDown.ts';

/** A string that neither turns nor is pumped through may be on its way into the slips: it is judged after this long, ms. */
const INTO_SLIPS_MS = 15_000;
const TURNING_RPM = 5;

const netSetDown = ({ run, sample }: Moment): number => netSetDownOf(run.stringWeight, sample);
const overpull = ({ run, sample }: Moment): number => overpullOf(run.stringWeight, sample);

/** Whether weight that is missing from the hook rests on the tool, and not in the slips. */
function isOnTool({ run, sample }: Moment): boolean {
  if (run.slips.in || isOnHanger(run)) return false;
  if (isPumped(sample) || sample.rotation > TURNING_RPM) return true;
  // Without the block's weight a light string in the slips cannot be told from one set down.
  if (!(run.slips.blockWeight > 0)) return false;
  return sample.sourceMs - run.stringWeight.idleLightMs >= INTO_SLIPS_MS;
}

export const WEIGHT_CONDITIONS: readonly Condition[] = [
  {
    kind: 'overpull',
    breach: 0,
    worseIs: 'high',
    isPlanned: ({ engineering: { limits } }) => limits.overpullMaxKn < Infinity,
    stands: (m) => {
      const max = m.run.job.engineering.limits.overpullMaxKn;
      return max < Infinity && !m.run.slips.in && isAbove(m, 'overpull', overpull(m), max);
    },
    value: overpull,
    says: (m, worst) => tooHigh('force', worst, m.run.job.engineering.limits.overpullMaxKn, 0),
  },
  {
    kind: 'high set-down',
    breach: 0,
    worseIs: 'high',
    isPlanned: ({ engineering: { limits } }) => limits.setDownMaxKn < Infinity,
    stands: (m) => {
      const max = m.run.job.engineering.limits.setDownMaxKn;
      return max < Infinity && isOnTool(m) && isAbove(m, 'high set-down', netSetDown(m), max);
    },
    value: netSetDown,
    says: (m, worst) => tooHigh('force', worst, m.run.job.engineering.limits.setDownMaxKn, 0),
  },
  {
    kind: 'high hookload',
    breach: 0,
    worseIs: 'high',
    isPlanned: ({ engineering: { limits } }) => limits.hookloadMaxKn < Infinity,
    stands: (m) => isAbove(m, 'high hookload', m.sample.hookload, m.run.job.engineering.limits.hookloadMaxKn),
    value: (m) => m.sample.hookload,
    says: (m, worst) => tooHigh('force', worst, m.run.job.engineering.limits.hookloadMaxKn, 0),
  },
];
