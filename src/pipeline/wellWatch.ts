/** What the well does: tanks and flow out, pack-off, stick-slip, a string that stands too long in open hole. */
import type { Sample } from '../channels.ts';
import type { Job } from '../plan/job.ts';
import { depthTolerance } from './endDepthState.ts';
import { advanceFlowBalance, createFlowBalance, type FlowBalance } from './flowBalance.ts';
import { advancePackOff, createPackOff, type PackOff } from './packOff.ts';
import { periodMs } from './period.ts';
import type { Run } from './runState.ts';
import { advanceStickSlip, createStickSlip, type StickSlip } from './stickSlip.ts';
import { advanceTankBalance, createTankBalance, type TankBalance } from './tankBalance.ts';

/** Where the string has stood, and since when. */
export interface Standing {
  depth: number;
  /** ms; NaN: it moves, turns, or is not in open hole. */
  sinceMs: number;
}

export interface WellWatch {
  flowOut: FlowBalance;
  flowOutShare: FlowBalance;
  tanks: TankBalance;
  packOff: PackOff;
  stickSlip: StickSlip;
  standing: Standing;
}

export function createWellWatch(_job: Job): WellWatch {
  return {
    flowOut: createFlowBalance(),
    flowOutShare: createFlowBalance(),
    tanks: createTankBalance(),
    packOff: createPackOff(),
    stickSlip: createStickSlip(),
    standing: { depth: Number.NaN, sinceMs: Number.NaN },
  };
}

/** What a metre of pipe pushes out at the most where the plan has no string: 168 mm closed-ended, m³/m (common practice). */
const DISPLACEMENT_M3_PER_M = 0.0222;
/** Movement beyond what the readings can tell apart, m. */
const STANDS_WITHIN_M = 0.05;
/** A string that turns does not stand, rpm. */
const TURNING_RPM = 5;

export function advanceWellWatch(run: Run, sample: Sample): void {
  const { wellWatch: state, job, slips } = run;
  const { limits } = job.engineering;
  const { sourceMs, flowIn } = sample;
  if (!Number.isNaN(sample.flowOut)) {
    advanceFlowBalance(state.flowOut, sourceMs, flowIn, sample.flowOut, limits.flowDifferenceShare);
  } else if (!Number.isNaN(sample.flowOutShare)) {
    advanceFlowBalance(state.flowOutShare, sourceMs, flowIn, sample.flowOutShare, limits.flowDifferenceShare);
  }
  if (!Number.isNaN(sample.tankVolume)) {
    advanceTankBalance(state.tanks, sourceMs, sample.tankVolume, flowIn, run.endDepth.depth, displacementOf(job));
  }
  const out = Number.isNaN(sample.flowOut) ? sample.flowOutShare : sample.flowOut;
  advancePackOff(state.packOff, sample, run.work.joint, slips.in, out, run.motion.way === 'down');
  advanceStickSlip(state.stickSlip, sample, slips.in, periodMs(run.period), limits.stickSlipShare);
  if (limits.stationaryMs < Infinity) followStanding(run, sample);
}

/** Closed-ended displacement of the topmost pipe, m³/m. */
function displacementOf(job: Job): number {
  const part = job.engineering.string[0];
  return part ? (Math.PI / 4) * (part.odMm / 1000) ** 2 : DISPLACEMENT_M3_PER_M;
}

/** Top of the open hole, m: that of the last section of the hole, else of the liner. */
function openHoleTop(job: Job): number {
  const { hole } = job.engineering;
  return hole.length > 1 ? hole[hole.length - 1]!.fromM : job.joints[0]!.top;
}

function followStanding(run: Run, sample: Sample): void {
  const { standing } = run.wellWatch;
  const { depth } = run.endDepth;
  const turns = sample.rotation > TURNING_RPM && !run.slips.in;
  if (turns || !(depth > openHoleTop(run.job))) {
    standing.sinceMs = Number.NaN;
    return;
  }
  if (Math.abs(depth - standing.depth) <= depthTolerance(run.endDepth) + STANDS_WITHIN_M && standing.sinceMs > 0)
    return;
  standing.depth = depth;
  standing.sinceMs = sample.sourceMs;
}

/** Since when the string has stood longer than the plan allows, ms; NaN where it has not. */
export function stationaryMs(run: Run): number {
  const { sinceMs } = run.wellWatch.standing;
  return run.lastMs - sinceMs >= run.job.engineering.limits.stationaryMs ? sinceMs : Number.NaN;
}

/** Share by which flow out is off what it should be for the flow in; 0 where it is not judged. */
export function flowOff({ wellWatch: { flowOut, flowOutShare } }: Run): number {
  return flowOut.off === 0 ? flowOutShare.off : flowOut.off;
}
