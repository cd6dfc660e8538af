/** Which phase the evidence of one sample supports. Where nothing fits, the string waits; nothing is guessed. */
import type { Sample } from '../channels.ts';
import type { PhaseName } from '../phases.ts';
import { judgedKpa } from './judgedPressure.ts';
import { currentPhase, enterPhase, supportPhase } from './phaseTrack.ts';
import type { Run } from './runState.ts';

export interface PhaseSense {
  /** Depth at which the present upward movement began; a stand added on the way up keeps it. NaN: not going up. */
  liftFrom: number;
  /** Whether the present stay in the slips has been counted as a connection. */
  counted: boolean;
}

/** Flow above which the pumps are on, L/min, and pressure where no flow is read, kPa (common practice). */
const PUMPS_ON_L_PER_MIN = 60;
const PUMPS_ON_KPA = 1500;
/** Lifted further than a stand, the string is on its way out, m. */
const OUT_AFTER_M = 35;
/** With nothing left to expand, a lift is the start of the way out, m. */
const OUT_WHEN_DONE_M = 3;

export function createPhaseSense(): PhaseSense {
  return { liftFrom: Number.NaN, counted: false };
}

export function restartPhaseSense(state: PhaseSense): void {
  state.liftFrom = Number.NaN;
}

export function arePumpsOn(sample: Sample): boolean {
  return Number.isNaN(sample.flowIn) ? sample.standpipePressure > PUMPS_ON_KPA : sample.flowIn > PUMPS_ON_L_PER_MIN;
}

export function choosePhase(run: Run, sample: Sample): void {
  const { work, job, phases, phaseSense } = run;
  const atMs = sample.sourceMs;
  const index = work.joint >= 0 ? work.joint : work.focusJoint;
  const joint = index >= 0 ? job.joints[index]!.name : null;
  trackLift(run);
  const current = currentPhase(phases);
  const { recognisedFromMs } = run.depthTag;
  if (!Number.isNaN(recognisedFromMs)) enterPhase(phases, 'tagging depth', joint, recognisedFromMs);
  else if (!Number.isNaN(run.stalledMs) && !run.slips.in) {
    if (current?.phase !== 'stalled') enterPhase(phases, 'stalled', joint, run.stalledMs);
  } else supportPhase(phases, phaseOf(run, sample), joint, atMs);
  const now = currentPhase(phases);
  if (now?.phase === 'making connection') {
    if (!phaseSense.counted) run.connections += 1;
    phaseSense.counted = true;
  } else if (!run.slips.in) phaseSense.counted = false;
}

function trackLift(run: Run): void {
  const depth = run.endDepth.depth;
  if (run.motion.way === 'up') {
    if (Number.isNaN(run.phaseSense.liftFrom)) run.phaseSense.liftFrom = run.motion.upFrom;
  } else if (run.motion.way === 'down' && depth > run.phaseSense.liftFrom - 1) run.phaseSense.liftFrom = Number.NaN;
  else if (run.motion.way === 'down' && !run.slips.in && run.motion.anchorDepth > depth - 1) {
    // Going down again below the lift: a short lowering onto the slips does not end a trip out.
    if (run.work.joint >= 0) run.phaseSense.liftFrom = Number.NaN;
  }
}

function phaseOf(run: Run, sample: Sample): PhaseName {
  const { work, job, motion, slips } = run;
  if (slips.in) return 'making connection';
  if (run.hanger.phase) return run.hanger.phase;
  if (motion.way === 'up') return isOnTheWayOut(run) ? 'pulling out' : 'picking up';
  const atWork = work.joint >= 0 ? job.joints[work.joint]! : undefined;
  if (atWork) {
    const expanding = atWork.kind === 'isolation' ? 'expanding isolation' : 'expanding screen';
    if (motion.way === 'down') return expanding;
    const recipe = atWork.recipe!;
    const rolling = judgedKpa(recipe, run.pressures) >= recipe.pressureMinKpa && !(sample.rotation < recipe.rpmMin);
    const before = currentPhase(run.phases)?.phase;
    if (rolling && (before === expanding || before === 'no data')) return expanding;
  }
  if (motion.way === 'down') return passing(run);
  return arePumpsOn(sample) ? 'circulating' : 'waiting';
}

function isOnTheWayOut(run: Run): boolean {
  const lifted = run.phaseSense.liftFrom - run.endDepth.depth;
  return (
    lifted > OUT_AFTER_M ||
    (!run.workLeft && lifted > OUT_WHEN_DONE_M) ||
    currentPhase(run.phases)?.phase === 'pulling out'
  );
}

/** Going down, and nothing at work: what lies under the tool that comes next. */
function passing(run: Run): PhaseName {
  const { work, job } = run;
  if (work.focusJoint < 0) return 'running in';
  const joint = job.joints[work.focusJoint]!;
  const depth = run.toolDepths[work.focusTool]!;
  // Pipe that this tool has nothing to do with is blank to it.
  if (!joint.recipe?.tools.includes(work.focusTool)) return 'passing blank';
  return depth >= joint.from && depth < joint.to ? 'running in' : 'crossing connection';
}
