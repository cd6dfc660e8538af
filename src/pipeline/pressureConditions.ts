/** Conditions of the pressure at the tool: the two ways to it drifting apart, the pumps, the valve. */
import type { EventName } from '../events.ts';
import type { MeasuredText } from '../measuredText.ts';
import type { Job } from '../plan/job.ts';
import { type Condition, type Moment, measure } from './condition.ts';
import { isWatched } from './eventLog.ts';

/** A trouble of the string or the pumps stays one event while the tools go from joint to joint: where it began. */
function whereItBegan(kind: EventName): NonNullable<Condition['at']> {
  return ({ run }) => {
    const { joint, depth } = run.events.watches[kind];
    if (isWatched(run.events, kind)) return { joint, depth };
    const { focusJoint, focusTool } = run.work;
    const name = focusJoint >= 0 ? run.job.joints[focusJoint]!.name : null;
    return { joint: name, depth: run.toolDepths[focusTool]! };
  };
}

/** Since when, or since its last event ended: a stretch without data ends an event, not the trouble. */
function sinceMs({ run }: Moment, kind: EventName, beganMs: number): number {
  const { events } = run.events;
  if (isWatched(run.events, kind)) return beganMs;
  for (let i = events.length - 1; i >= 0; i -= 1) {
    if (events[i]!.kind === kind) return Math.max(beganMs, events[i]!.toMs ?? beganMs);
  }
  return beganMs;
}

/** Whole percents, so that an event is not worded anew with every sample. */
const percents = (share: number): number => Math.round(share * 100);
const timeOf = (ms: number): string => new Date(ms).toISOString().slice(11, 19);

function driftText({ run }: Moment): MeasuredText {
  const { share, fromStandpipeKpa, byFlowKpa, sinceMs } = run.toolPressure.drift;
  return [
    'at the tool ',
    measure('pressure', fromStandpipeKpa, 0),
    ' from the standpipe and ',
    measure('pressure', byFlowKpa, 0),
    ` from flow, ${Math.abs(percents(share))} % apart since ${timeOf(sinceMs)} UTC, at most ${percents(run.job.engineering.limits.driftShare)} % allowed`,
  ];
}

const hasFlowPath = ({ engineering }: Job): boolean => engineering.flowPath !== undefined;

function drift(kind: 'washout' | 'plugging'): Condition {
  return {
    kind,
    breach: 0,
    worseIs: kind === 'washout' ? 'low' : 'high',
    isPlanned: hasFlowPath,
    stands: ({ run }) => run.toolPressure.drift.verdict === kind,
    value: ({ run }) => percents(run.toolPressure.drift.share),
    sinceMs: (m) => sinceMs(m, kind, m.run.toolPressure.drift.sinceMs),
    says: driftText,
    at: whereItBegan(kind),
  };
}

function valve(kind: 'valve not shifted' | 'valve not reset', fault: 'not shifted' | 'not reset'): Condition {
  return {
    kind,
    breach: 0,
    worseIs: 'high',
    isPlanned: hasFlowPath,
    stands: ({ run }) => run.toolPressure.path.fault === fault,
    value: () => 0,
    sinceMs: ({ run }) => run.toolPressure.path.faultSinceMs,
    says: ({ run }) => [
      measure('pressure', run.toolPressure.steady.pressure, 0),
      ' at ',
      measure('flow', run.toolPressure.steady.flow, 0),
      ` fits the ${fault === 'not shifted' ? 'low' : 'high'} path, the valve shifts at `,
      measure('flow', run.job.engineering.flowPath!.shiftsAtLPerMin, 0),
    ],
    at: whereItBegan(kind),
  };
}

export const PRESSURE_CONDITIONS: readonly Condition[] = [
  drift('washout'),
  drift('plugging'),
  {
    kind: 'pump mismatch',
    breach: 0,
    worseIs: 'high',
    isPlanned: ({ engineering }) => engineering.pumps.length > 0,
    stands: ({ run }) => run.toolPressure.pumps.verdict === 'mismatch',
    value: ({ run }) => Math.abs(percents(run.toolPressure.pumps.share)),
    sinceMs: (m) => sinceMs(m, 'pump mismatch', m.run.toolPressure.pumps.sinceMs),
    says: ({ run }, worst) => [
      'flow in ',
      measure('flow', run.toolPressure.pumps.flow, 0),
      ', by the strokes ',
      measure('flow', run.toolPressure.pumps.byStrokes, 0),
      `: up to ${worst} % apart, at most ${percents(run.job.engineering.limits.pumpMismatchShare)} % allowed`,
    ],
    at: whereItBegan('pump mismatch'),
  },
  valve('valve not shifted', 'not shifted'),
  valve('valve not reset', 'not reset'),
];
