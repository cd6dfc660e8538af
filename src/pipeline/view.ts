/** The run as the page shows it, in the words of `src/live/messages.ts`. Reading changes nothing. */

import type { GapCause } from '../causes.ts';
import type { Sample } from '../channels.ts';
import { toSpans } from '../intervals.ts';
import type { EventState, JointState, Now, TraceRow } from '../live/messages.ts';
import type { Recipe } from '../plan/job.ts';
import { outcomeOf } from '../record/verdict.ts';
import type { Step } from '../steps.ts';
import { depthAtToolNow } from './depthAtTool.ts';
import type { LoggedEvent } from './eventLog.ts';
import { judgedKpa } from './judgedPressure.ts';
import { couldBeOf, lengthSigmaM } from './lengthSigma.ts';
import { finishNow } from './pace.ts';
import { currentPhase } from './phaseTrack.ts';
import { isCoarseNow, isFastNow } from './rollingConditions.ts';
import { feedPerTurnOf } from './rollingQuality.ts';
import type { Run } from './runState.ts';
import { netSetDownOf, torqueOnToolOf } from './setDown.ts';
import { toolPressureNow } from './toolPressure.ts';

const known = (value: number): number | null => (Number.isNaN(value) ? null : value);
const bound = (value: number): number | null => (Number.isFinite(value) ? value : null);

/** The recipe at work, else the one of the tool in focus. */
function recipeInForce(run: Run): Recipe | undefined {
  const { work, job } = run;
  if (work.joint >= 0) return job.joints[work.joint]!.recipe;
  const { isolation, screen } = job.recipes;
  const inJoint = work.focusJoint >= 0 ? job.joints[work.focusJoint]!.recipe : undefined;
  if (inJoint) return inJoint;
  if (isolation?.tools.includes(work.focusTool)) return isolation;
  return screen?.tools.includes(work.focusTool) ? screen : undefined;
}

function judgementOf(run: Run): Now['judgement'] {
  const { work, sample } = run;
  const phase = currentPhase(run.phases)?.phase;
  if (!sample || phase === undefined) return { state: 'unknown', causes: [] };
  if (Number.isNaN(run.endDepth.depth) || run.endDepth.atMs !== sample.sourceMs)
    return { state: 'unknown', causes: ['no data'] };
  if (!Number.isNaN(run.stalledMs)) return { state: 'bad', causes: [] };
  if (work.joint < 0 || run.slips.in || run.motion.way !== 'down') return { state: 'idle', causes: [] };
  const recipe = run.job.joints[work.joint]!.recipe!;
  const causes: GapCause[] = [];
  const pressure = judgedKpa(recipe, run.pressures);
  if (recipe.pressureMinKpa > -Infinity && !(pressure >= recipe.pressureMinKpa)) {
    causes.push(Number.isNaN(pressure) ? 'no data' : 'low pressure');
  }
  if (recipe.rpmMin > -Infinity && !(sample.rotation >= recipe.rpmMin)) {
    causes.push(Number.isNaN(sample.rotation) ? 'no data' : 'no rotation');
  }
  if (isFastNow(run, recipe, sample.sourceMs)) causes.push('fast feed');
  else if (isCoarseNow(run, recipe, sample.sourceMs)) causes.push('high feed per turn');
  const over = pressure > recipe.pressureMaxKpa || sample.torque > recipe.torqueMaxKnm;
  return { state: causes.length > 0 || over ? 'bad' : 'good', causes };
}

/** The state now; null before the first sample. */
export function nowOf(run: Run): Now | null {
  const { sample, work, job } = run;
  const phase = currentPhase(run.phases);
  if (!sample || !phase) return null;
  const recipe = recipeInForce(run);
  let expandedM = 0;
  for (const joint of job.joints) if (joint.recipe) expandedM += measureExpanded(run, joint.index);
  return {
    sourceMs: sample.sourceMs,
    arrivalMs: sample.arrivalMs,
    phase: phase.phase,
    phaseSinceMs: phase.fromMs,
    joint: work.focusJoint >= 0 ? work.focusJoint : null,
    tool: work.focusTool,
    judgement: judgementOf(run),
    endDepth: known(run.endDepth.depth + run.correctionM + run.depthAtTool.stretchM),
    blockPosition: known(sample.blockPosition),
    toolDepths: run.toolDepths.map(known),
    depthCorrection: run.correctionM,
    feed: Number.isNaN(run.endDepth.depth) ? null : run.motion.feed,
    standpipePressure: known(sample.standpipePressure),
    bounds: {
      recipe: recipe?.kind ?? null,
      pressureAt: recipe?.pressureAt ?? 'standpipe',
      pressureMin: recipe ? bound(recipe.pressureMinKpa) : null,
      pressureMax: recipe ? bound(recipe.pressureMaxKpa) : null,
      rpmMin: recipe ? bound(recipe.rpmMin) : null,
      feedMax: recipe ? bound(recipe.feedMaxMPerMin) : null,
      feedPerTurnMax: recipe ? bound(recipe.feedPerTurnMaxM) : null,
      torqueMax: recipe ? bound(recipe.torqueMaxKnm) : null,
    },
    rotation: known(sample.rotation),
    torque: known(sample.torque),
    hookload: known(sample.hookload),
    setDown: known(setDownNow(run, sample)),
    torqueOnTool: known(run.slips.in ? Number.NaN : torqueOnToolOf(run.stringWeight, sample)),
    feedPerTurn: known(feedPerTurnOf(run)),
    toolPressure: toolPressureNow(run),
    depthAtTool: depthAtToolNow(run),
    finish: finishNow(run),
    flowIn: known(sample.flowIn),
    inSlips: run.slips.in,
    expandedM,
    requiredM: job.requiredM,
    connections: run.connections,
  };
}

function measureExpanded(run: Run, index: number): number {
  const set = run.sweep.tallies[index]!.expanded;
  let sum = 0;
  for (let i = 0; i < set.length; i += 2) sum += set[i + 1]! - set[i]!;
  return sum;
}

/** A string that hangs in the slips is off the hook: what the hookload lacks then lies on the slips, not on the tool. */
export const setDownNow = (run: Run, sample: Sample): number =>
  run.slips.in ? Number.NaN : netSetDownOf(run.stringWeight, sample);

/** One row of the traces, in the order of `TRACE_COLUMNS`. */
export function traceRowOf(run: Run): TraceRow {
  const sample = run.sample!;
  const recipe = recipeInForce(run);
  return [
    sample.sourceMs,
    known(sample.standpipePressure),
    known(run.toolPressure.fromStandpipeKpa),
    known(sample.flowIn),
    known(sample.torque),
    known(sample.rotation),
    known(sample.hookload),
    known(setDownNow(run, sample)),
    known(run.toolDepths[run.work.focusTool]!),
    known(sample.blockPosition),
    known(run.motion.feed),
    recipe ? bound(recipe.pressureMinKpa) : null,
    recipe ? bound(recipe.pressureMaxKpa) : null,
    run.breach,
  ];
}

/** Another number whenever what is known of the joint changes; tells a sender what to send. */
export function jointRevision(run: Run, index: number): number {
  const joint = run.job.joints[index]!;
  // A joint that a tool is in may be in progress: leaving it changes its verdict.
  const inside = joint.recipe?.tools.some((tool) => {
    const depth = run.toolDepths[tool]!;
    return depth >= joint.from && depth < joint.to;
  });
  return run.sweep.tallies[index]!.revision * 2 + (inside ? 1 : 0);
}

export function jointStateOf(run: Run, index: number): JointState {
  const joint = run.job.joints[index]!;
  const tally = run.sweep.tallies[index]!;
  const outcome = outcomeOf(run.job, joint, tally, run.toolDepths);
  const decision = run.journal.decisions[joint.name];
  return {
    index,
    ...(decision ? { decision: decisionOf(decision) } : {}),
    expanded: toSpans(outcome.expanded),
    unproven: toSpans(outcome.unproven),
    gaps: joint.recipe ? outcome.gaps : [],
    expandedM: outcome.expandedM,
    sigmaM: lengthSigmaM(run, joint, outcome),
    unprovenM: outcome.unprovenM,
    coverage: outcome.coverage,
    longestGap: joint.recipe ? outcome.longestGap : 0,
    pressure:
      tally.sweptM > 0
        ? { min: tally.pressureMin, mean: tally.pressureSum / tally.sweptM, max: tally.pressureMax }
        : null,
    feedMean: tally.feedMinutes > 0 ? tally.feedM / tally.feedMinutes : null,
    passes: tally.passes,
    stalls: tally.stalls,
    minutes: tally.minutes,
    verdict: outcome.verdict,
    couldBe: couldBeOf(run, joint, outcome),
  };
}

const decisionOf = ({
  action,
  by,
  at,
  reason,
}: Run['journal']['decisions'][string]): NonNullable<JointState['decision']> => ({
  action,
  by,
  atMs: Date.parse(at),
  reason,
});

/** All events so far, by id; one that changes gets a new `revision`, higher than all before. */
export function eventsOf(run: Run): readonly LoggedEvent[] {
  return run.events.events;
}

/** Grows with every change to any event. */
export function eventsRevision(run: Run): number {
  return run.events.revision;
}

/** All steps so far, and a number that grows with every change to any. */
export function stepsOf(run: Run): readonly Step[] {
  return run.steps.steps;
}

export function stepsRevision(run: Run): number {
  return run.steps.revision;
}

/** An event as a message carries it, without what only the pipeline needs. */
export function eventStateOf(event: LoggedEvent): EventState {
  const { id, kind, priority, joint, depth, fromMs, toMs, detail, form, acknowledged } = event;
  const state: EventState = { id, kind, priority, joint, depth, fromMs, toMs, detail };
  if (form !== undefined) state.form = form;
  if (acknowledged) state.acknowledged = acknowledged;
  return state;
}
