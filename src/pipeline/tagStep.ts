/**
 * What becomes of a tag that was recognised: a step of the run with its numbers, an event where the difference is more than
 * stretch and readings explain, and the correction.
 *
 * Offered, the tag waits for a `set depth` of its tool; applied, it moves the depth at once, and says that nobody confirmed
 * it. What was swept before a correction stays where it was counted: the readings of then are all that is known of then, and
 * a record whose past changed would not be the one that was watched. Joints swept before it that matter are to be swept again.
 */
import { rootSumSquare } from '../engineering/uncertainty.ts';
import type { MeasuredText } from '../measuredText.ts';
import { breakSweep } from './breakSweep.ts';
import { measure } from './condition.ts';
import { noteCorrection, ownSigmas, STRETCH_MODEL_SHARE } from './depthAtTool.ts';
import { logEvent } from './eventLog.ts';
import type { Run } from './runState.ts';
import { changeStep, logStep, stepNumber } from './stepLog.ts';

/** What becomes of a tag once it is found: it waits for the journal, or is applied at once. */
export type TagPolicy = 'offer' | 'apply';

export interface TagFound {
  /** `offered` waits; `applied` has moved the depth and may still be confirmed; `settled` is confirmed or overtaken. */
  state: 'offered' | 'applied' | 'settled';
  /** Index in the step log. */
  step: number;
  atMs: number;
  tool: number;
  /** Depth of the tool as it was shown, and that of the shear device, m. */
  shownM: number;
  taggedM: number;
  setDownKn: number;
  /** The run's correction with this tag, and its 1σ, m. */
  correctionM: number;
  sigmaM: number;
}

/** A difference is a mismatch beyond this many σ, and beyond this, m. */
const MISMATCH_SIGMAS = 3;
const MISMATCH_M = 0.3;
/** A journal's depth is that of the shear device itself when it is written so to this, m. */
const SAME_DEPTH_M = 0.006;

/** The tag stands, if the tool was where the plan's window says. */
export function recognise(run: Run, fromMs: number, releasedMs: number): void {
  const { depthTag: state, depthAtTool, job } = run;
  const tag = job.engineering.depthTag!;
  const tool = job.tools[tag.tool]!;
  const pressedM = depthAtTool.perKn * state.peakKn;
  const uncorrected = state.peakDepth - tool.offsetM + depthAtTool.thermalM - pressedM;
  const shownM = uncorrected + run.correctionM;
  if (!(Math.abs(shownM - tag.depthM) <= tag.windowM)) return;
  const sigmaM = rootSumSquare(...ownSigmas(run), tag.repeatabilityM, STRETCH_MODEL_SHARE * pressedM);
  overtake(run);
  const differenceM = tag.depthM - shownM;
  const applied = run.tagPolicy === 'apply';
  const found: TagFound = {
    state: applied ? 'applied' : 'offered',
    step: -1,
    atMs: releasedMs,
    tool: tag.tool,
    shownM,
    taggedM: tag.depthM,
    setDownKn: state.peakKn,
    correctionM: tag.depthM - uncorrected,
    sigmaM,
  };
  found.step = logStep(
    run.steps,
    'depth tag',
    tool.name,
    fromMs,
    releasedMs,
    applied ? 'passed' : 'open',
    wordsOf(found, applied ? 'applied without confirmation' : 'waits to be confirmed'),
    [
      stepNumber('depth shown', 'length', shownM, 2),
      stepNumber('shear device', 'length', tag.depthM, 2),
      stepNumber('difference', 'length', differenceM, 2),
      stepNumber('set-down', 'force', state.peakKn, 0),
      stepNumber('1σ', 'length', sigmaM, 3),
    ],
  );
  state.found = found;
  state.recognisedFromMs = fromMs;
  if (Math.abs(differenceM) > Math.max(MISMATCH_M, MISMATCH_SIGMAS * sigmaM)) noteMismatch(run, found, differenceM);
  if (applied) applyTag(run, found);
}

function wordsOf(found: TagFound, then: string): MeasuredText {
  return [
    'shown at ',
    measure('length', found.shownM, 2),
    ', shear device at ',
    measure('length', found.taggedM, 2),
    ', difference ',
    measure('length', found.taggedM - found.shownM, 2),
    ' under ',
    measure('force', found.setDownKn, 0),
    ` set down; ${then}`,
  ];
}

function noteMismatch(run: Run, found: TagFound, differenceM: number): void {
  const joint = run.work.focusJoint >= 0 ? run.job.joints[run.work.focusJoint]!.name : null;
  logEvent(run.events, 'depth mismatch', joint, found.taggedM, found.atMs, found.atMs, [
    'the tool is ',
    measure('length', Math.abs(differenceM), 2),
    differenceM > 0 ? ' deeper than shown' : ' higher than shown',
    ': more than stretch and readings explain (1σ ',
    measure('length', found.sigmaM, 2),
    ')',
  ]);
}

/** A tag that was never confirmed makes way for the next one, or for a new plan; it stays in the record. */
export function overtake(run: Run): void {
  const { found } = run.depthTag;
  if (found?.state === 'offered')
    changeStep(run.steps, found.step, { outcome: 'not proven', detail: wordsOf(found, 'overtaken unconfirmed') });
  if (found) found.state = 'settled';
}

function applyTag(run: Run, found: TagFound): void {
  breakSweep(run);
  run.correctionM = found.correctionM;
  noteCorrection(run, 'by the tag', found.sigmaM);
}

/**
 * A `set depth` of the journal, seen against the last tag. Its depth confirms the tag where it is that of the shear device
 * itself, wherever the string has got to since, or where it moves the depth as the tag would. Returns whether it did; the
 * depth is then set. `correctionM`: the correction that the journal's depth makes by itself, m.
 */
export function confirmTag(run: Run, by: string, tool: number, depthM: number, correctionM: number): boolean {
  const { found } = run.depthTag;
  if (!found || found.state === 'settled' || found.tool !== tool) return false;
  const named = Math.abs(depthM - found.taggedM) <= SAME_DEPTH_M;
  const agrees = Math.abs(correctionM - found.correctionM) <= Math.max(MISMATCH_M, MISMATCH_SIGMAS * found.sigmaM);
  if (!named && !agrees) {
    if (found.state === 'offered')
      changeStep(run.steps, found.step, {
        outcome: 'not proven',
        detail: wordsOf(found, 'the journal set another depth'),
      });
    found.state = 'settled';
    return false;
  }
  if (!named) found.correctionM = correctionM;
  applyTag(run, found);
  found.state = 'settled';
  changeStep(run.steps, found.step, { outcome: 'passed', detail: wordsOf(found, `confirmed by ${by}`) });
  return true;
}
