/**
 * The run as a fold: `advance(run, input)` works one input into everything that is known, the same for live, replay,
 * command line and browser. Inputs come in order of time.
 *
 *   sample ─ slips ─ end depth ─ pressure at the tool ─ tool depths ─ work ─ sweep ─ motion ─ stall ─ depth tag ─
 *   rolling quality ─ well ─ hanger ─ conditions ─ phase ─ pace
 */
import type { Sample } from '../channels.ts';
import type { JournalEntry } from '../journal/journalSchema.ts';
import type { Recipe } from '../plan/job.ts';
import { breakSweep, forgetMovement } from './breakSweep.ts';
import { judgeConditions } from './conditions.ts';
import type { Segment } from './countStretch.ts';
import { advanceDepthAtTool } from './depthAtTool.ts';
import { noteDepth } from './depthNotes.ts';
import { advanceDepthTagSense } from './depthTag.ts';
import { advanceEndDepth } from './endDepth.ts';
import { depthTolerance } from './endDepthState.ts';
import { endAllWatches, logEvent } from './eventLog.ts';
import { advanceHangerSense } from './hangerSense.ts';
import { applyJournal, applyPendingDepth } from './journalEffects.ts';
import { judgedKpa, type Pressures } from './judgedPressure.ts';
import { advanceMotion } from './motion.ts';
import { advancePace } from './pace.ts';
import { gapAfterMs, learnPeriod, periodMs } from './period.ts';
import { choosePhase } from './phaseSense.ts';
import { currentPhase, enterPhase } from './phaseTrack.ts';
import { advanceRollingQuality } from './rollingQuality.ts';
import type { Run } from './runState.ts';
import { learnStringWeight } from './setDown.ts';
import { advanceSlips, hangingOf, restartSlips } from './slips.ts';
import { advanceStall, restartStall } from './stall.ts';
import { addSweep, sweepUnseen } from './sweep.ts';
import { advanceToolPressure } from './toolPressure.ts';
import { advanceUnitWatch } from './unitWatch.ts';
import { advanceWellWatch } from './wellWatch.ts';
import { findFocus, findWork, isAtOpenEdge, isWorkLeft } from './work.ts';

export { createRun, type Run } from './runState.ts';

export type PipelineInput =
  | { readonly kind: 'sample'; readonly sample: Sample }
  | { readonly kind: 'journal'; readonly entry: JournalEntry };

export function advance(run: Run, input: PipelineInput): void {
  if (input.kind === 'sample') advanceSample(run, input.sample);
  else applyJournal(run, input.entry);
}

export function advanceSample(run: Run, sample: Sample): void {
  const atMs = sample.sourceMs;
  if (run.samples === 0) run.firstMs = atMs;
  else learnPeriod(run.period, atMs - run.lastMs);
  run.samples += 1;
  run.lastMs = atMs;
  run.sample = sample;
  const { endDepth } = run;
  // A flag or a hookload from before a break says nothing about the string after it.
  const afterGap = atMs - endDepth.atMs > gapAfterMs(run.period, run.job.stream.gapAfterMs);
  if (afterGap) restartSlips(run.slips);
  senseSlips(run, sample);
  const note = advanceEndDepth(endDepth, atMs, sample.bitDepth, sample.blockPosition, hangingOf(run.slips), afterGap);
  const known = endDepth.atMs === atMs;
  noteDepth(run, note, atMs);
  if (!known) {
    if (!currentPhase(run.phases)) enterPhase(run.phases, 'no data', null, atMs);
    return;
  }
  advanceDepth(run, sample, note.kind === 'moved');
}

function senseSlips(run: Run, sample: Sample): void {
  const { endDepth } = run;
  const step = endDepth.reportedStep.step > 0 ? endDepth.reportedStep.step : 0.01;
  const was = run.slips.in;
  advanceSlips(
    run.slips,
    sample.sourceMs,
    sample.hookload,
    sample.blockPosition + endDepth.wrap,
    sample.bitDepth - endDepth.wrap,
    Number.isNaN(sample.bitDepth) ? endDepth.depth : sample.bitDepth,
    sample.inSlips,
    step,
  );
  if (was && !run.slips.in) run.endDepth.oddSinceMs = Number.NaN;
}

/** Everything that follows once the depth of this sample is known. */
function advanceDepth(run: Run, sample: Sample, moved: boolean): void {
  const { job, work, endDepth, sweep } = run;
  const atMs = sample.sourceMs;
  advanceToolPressure(run, sample);
  advanceDepthAtTool(run, sample);
  if (run.pendingDepth) applyPendingDepth(run, run.pendingDepth);
  const depth = endDepth.depth + run.correctionM + run.depthAtTool.stretchM;
  for (let i = 0; i < job.tools.length; i += 1) run.toolDepths[i] = depth - job.tools[i]!.offsetM;
  const tolerance = depthTolerance(endDepth);
  const { pressures, valid } = run;
  pressures.standpipe = sample.standpipePressure;
  pressures.tool = run.toolPressure.fromStandpipeKpa;
  usablePressures.standpipe = usable(pressures.standpipe, valid.pressure);
  usablePressures.tool = usable(pressures.tool, valid.toolPressure);
  const rotation = sample.rotation;
  findWork(work, atMs, job, sweep.tallies, run.toolDepths, usablePressures, usable(rotation, valid.rotation));
  if (moved) breakSweep(run);
  measureSweep(run, sample, depth, tolerance);
  // Feed and motion are what the block does: a stretch that follows the set-down is no movement of the string.
  const line = endDepth.depth + run.correctionM;
  advanceMotion(run.motion, atMs, line, tolerance, periodMs(run.period));
  refreshFocus(run, depth);
  const recipe = work.joint >= 0 ? job.joints[work.joint]!.recipe : undefined;
  senseStall(run, sample, line - run.depthAtTool.takenUpM, tolerance, recipe);
  advanceDepthTagSense(run, sample);
  advanceRollingQuality(run, sample);
  advanceWellWatch(run, sample);
  advanceUnitWatch(run, sample);
  advanceHangerSense(run, sample);
  judgeConditions(run, sample);
  choosePhase(run, sample);
  learnStringWeight(run.stringWeight, run, sample);
  advancePace(run, sample);
}

/** A reading that is missing for a moment is taken to be as it was: only for choosing what is at work. */
const usablePressures: Pressures = { standpipe: Number.NaN, tool: Number.NaN };
const usable = (value: number, before: number): number => (Number.isNaN(value) ? before : value);

function refreshFocus(run: Run, depth: number): void {
  if (run.work.joint < 0 && Math.abs(depth - run.focusDepth) < 0.1) return;
  run.focusDepth = run.work.joint < 0 ? depth : Number.NaN;
  findFocus(run.work, run.job, run.sweep.tallies, run.toolDepths);
  if (run.work.joint < 0) run.workLeft = isWorkLeft(run.job, run.sweep.tallies, run.toolDepths);
}

function senseStall(run: Run, sample: Sample, depth: number, tolerance: number, recipe: Recipe | undefined): void {
  const { job, work, slips, stall } = run;
  const limit = job.stall;
  if (!limit || slips.in) {
    restartStall(stall);
    run.stalledMs = Number.NaN;
    return;
  }
  const joint = work.joint >= 0 ? job.joints[work.joint]! : undefined;
  const atEdge = joint && isAtOpenEdge(joint, run.sweep.tallies[work.joint]!, run.toolDepths[work.tool]!);
  const since = advanceStall(
    stall,
    sample.sourceMs,
    depth,
    tolerance,
    atEdge ? recipe : undefined,
    atEdge && recipe ? judgedKpa(recipe, run.pressures) : sample.standpipePressure,
    sample.rotation,
    sample.torque,
    limit.feedMPerMin,
  );
  const stalled = sample.sourceMs - since >= limit.ms;
  if (stalled && Number.isNaN(run.stalledMs)) run.sweep.tallies[work.joint]!.stalls += 1;
  run.stalledMs = stalled ? since : Number.NaN;
}

/** A sample is valid where every reading that some recipe asks for is there, as far as a tool is at work. */
function isValid(run: Run, sample: Sample): boolean {
  if (run.work.joint < 0) return true;
  const recipe = run.job.joints[run.work.joint]!.recipe!;
  if (recipe.pressureMinKpa > -Infinity && Number.isNaN(judgedKpa(recipe, run.pressures))) return false;
  return !(recipe.rpmMin > -Infinity && Number.isNaN(sample.rotation));
}

function measureSweep(run: Run, sample: Sample, depth: number, tolerance: number): void {
  run.advancedM += run.endDepth.advanceM;
  if (!isValid(run, sample)) return;
  const { valid, job, sweep } = run;
  const atMs = sample.sourceMs;
  const fromMs = valid.atMs;
  if (atMs - fromMs > gapAfterMs(run.period, job.stream.gapAfterMs)) closeGap(run, atMs, depth);
  else if (fromMs < atMs) {
    const segment: Segment = {
      fromMs,
      toMs: atMs,
      fromDepth: valid.depth,
      toDepth: depth,
      fromPressure: valid.pressure,
      toPressure: sample.standpipePressure,
      fromToolPressure: valid.toolPressure,
      toToolPressure: run.pressures.tool,
      fromRotation: valid.rotation,
      toRotation: sample.rotation,
      rolling: run.motion.way === 'down',
      tooFast: 0,
      tooMuchPerTurn: 0,
    };
    const proven = addSweep(sweep, job, segment, run.advancedM, tolerance, run.provenFastFromMs);
    if (proven & 1) run.provenFastMs[0] = atMs;
    if (proven & 2) run.provenFastMs[1] = atMs;
    if (run.work.joint >= 0 && !run.slips.in) {
      const tally = sweep.tallies[run.work.joint]!;
      tally.minutes += (atMs - fromMs) / 60_000;
      tally.revision += 1;
    }
  }
  run.advancedM = 0;
  valid.atMs = atMs;
  valid.depth = depth;
  valid.pressure = sample.standpipePressure;
  valid.toolPressure = run.pressures.tool;
  valid.rotation = sample.rotation;
}

/** A stretch without a valid sample has come to its end. */
function closeGap(run: Run, atMs: number, depth: number): void {
  const { valid, job, work } = run;
  sweepUnseen(run.sweep, job, valid.depth, depth);
  endAllWatches(run.events, valid.atMs);
  const seconds = ((atMs - valid.atMs) / 1000).toFixed(0);
  const joint = work.focusJoint >= 0 ? job.joints[work.focusJoint]!.name : null;
  logEvent(
    run.events,
    'data gap',
    joint,
    valid.depth - job.tools[work.focusTool]!.offsetM,
    valid.atMs,
    atMs,
    `${seconds} s without a valid sample`,
  );
  const phase = currentPhase(run.phases);
  // A string that hangs in the slips at both ends, at one depth, has hung there: one connection stays one.
  const hung =
    phase?.phase === 'making connection' &&
    run.slips.in &&
    Math.abs(depth - valid.depth) <= depthTolerance(run.endDepth);
  if (phase && !hung) enterPhase(run.phases, 'no data', joint, Math.max(valid.atMs, phase.fromMs));
  forgetMovement(run);
}
