/** What people did, worked into the run: depth corrections, decisions, acknowledgements, notes, a new plan. */

import { clip } from '../intervals.ts';
import type { JournalEntry } from '../journal/journalSchema.ts';
import { PLAN_DEFAULTS } from '../plan/defaults.ts';
import { compileJob, planProblems } from '../plan/job.ts';
import { converter } from '../units.ts';
import { dropBall } from './ballSense.ts';
import { breakSweep } from './breakSweep.ts';
import { noteCorrection, replanDepthAtTool } from './depthAtTool.ts';
import { createDepthTagSense } from './depthTag.ts';
import { acknowledgeEvent } from './eventLog.ts';
import { keepHangerSense } from './hangerSense.ts';
import type { JointTally } from './jointTally.ts';
import { SWEPT_CAUSES } from './jointTally.ts';
import { createRollingQuality } from './rollingQuality.ts';
import type { Run } from './runState.ts';
import { createSweep, settleAll } from './sweep.ts';
import { confirmTag, overtake } from './tagStep.ts';
import { renewToolPressure } from './toolPressure.ts';

export interface JournalEffects {
  /** Every entry that was worked in, in order, with what came of it. */
  entries: { at: string; by: string; action: string; text: string }[];
  /** Acknowledged events by index in the log. */
  acknowledged: { event: number; by: string; at: string }[];
  decisions: Record<string, { action: 'accept' | 'reject'; by: string; at: string; reason: string }>;
}

export function applyJournal(run: Run, entry: JournalEntry): void {
  const at = new Date(Date.parse(entry.at)).toISOString();
  const text = effectOf(run, entry, at);
  run.journal.entries.push({ at, by: entry.by, action: entry.action, text });
}

function effectOf(run: Run, entry: JournalEntry, at: string): string {
  switch (entry.action) {
    case 'set depth':
      return setDepth(run, entry.by, entry.tool, entry.depth);
    case 'acknowledge':
      return acknowledge(run, entry, at);
    case 'accept':
    case 'reject':
      return decide(run, entry, at);
    case 'note':
      return noteInWords(entry);
    case 'drop ball':
      return dropBall(run, entry.ball, Date.parse(entry.at));
    case 'change plan':
      return changePlan(run, entry.plan);
  }
}

/** The newest decision on a joint stands; those before are in the journal. */
function decide(run: Run, entry: Extract<JournalEntry, { action: 'accept' | 'reject' }>, at: string): string {
  const joint = run.job.joints.find(({ name }) => name === entry.joint);
  if (!joint) return `no joint "${entry.joint}"`;
  run.journal.decisions[entry.joint] = { action: entry.action, by: entry.by, at, reason: entry.reason };
  run.sweep.tallies[joint.index]!.revision += 1;
  return `${entry.joint}: ${entry.reason}`;
}

/** An edit is told apart from a note of its own: both stay in the journal. */
function noteInWords({ text, edits, takenBack }: Extract<JournalEntry, { action: 'note' }>): string {
  if (takenBack) return text === '' ? 'a note taken back' : `a note taken back: ${text}`;
  return edits ? `a note put as: ${text}` : text;
}

function setDepth(run: Run, by: string, toolName: string, depth: number): string {
  const units = converter(run.job.units);
  const tool = run.job.tools.find((one) => one.name === toolName);
  if (!tool) return `no tool "${toolName}"`;
  const wanted = units.in('length', depth);
  breakSweep(run);
  if (Number.isNaN(run.endDepth.depth)) {
    run.pendingDepth = { tool: tool.index, depth: wanted };
    return `${toolName} at ${depth}, applied with the first depth read`;
  }
  const before = run.correctionM;
  const confirmed = confirmTag(run, by, tool.index, wanted, correctionFor(run, tool.index, wanted));
  if (!confirmed) setByJournal(run, tool.index, wanted);
  const change = units.out('length', run.correctionM - before);
  const how = confirmed ? ', confirms the tag' : '';
  return `${toolName} at ${depth}${how}: depth moved by ${change.toFixed(2)} ${units.label('length')}`;
}

/** The correction with which `tool` is at a depth now, stretch and all, m. */
function correctionFor(run: Run, tool: number, depthM: number): number {
  return depthM - (run.endDepth.depth + run.depthAtTool.stretchM - run.job.tools[tool]!.offsetM);
}

/** What somebody writes down without a tag is taken as it is, and is as sure as a tag would be. */
function setByJournal(run: Run, tool: number, depthM: number): void {
  const { depthTag } = run.job.engineering;
  const repeatabilityM = depthTag?.repeatabilityM ?? PLAN_DEFAULTS['depthTag.repeatability'].value;
  run.correctionM = correctionFor(run, tool, depthM);
  noteCorrection(run, 'by the journal', repeatabilityM);
}

/** A depth of the journal that came before the first depth of the stream. */
export function applyPendingDepth(run: Run, pending: { tool: number; depth: number }): void {
  setByJournal(run, pending.tool, pending.depth);
  run.pendingDepth = null;
}

function acknowledge(run: Run, entry: Extract<JournalEntry, { action: 'acknowledge' }>, at: string): string {
  const wanted = typeof entry.event === 'string' ? { kind: entry.event } : entry.event;
  const { events } = run.events;
  let before: string | undefined;
  for (let i = events.length - 1; i >= 0; i -= 1) {
    const event = events[i]!;
    if (event.kind !== wanted.kind) continue;
    if ('joint' in wanted && wanted.joint !== undefined && event.joint !== wanted.joint) continue;
    // An instant in a journal is a whole millisecond; where a condition began may lie between two.
    if ('from' in wanted && wanted.from !== undefined && Math.trunc(event.fromMs) !== Date.parse(wanted.from)) continue;
    if (event.acknowledged) {
      before ??= event.acknowledged.by;
      continue;
    }
    run.journal.acknowledged.push({ event: i, by: entry.by, at });
    acknowledgeEvent(run.events, i, { by: entry.by, atMs: Date.parse(at), reason: entry.reason ?? '' });
    return `${event.kind}${event.joint ? ` on ${event.joint}` : ''}${entry.reason ? `: ${entry.reason}` : ''}`;
  }
  return before === undefined ? `no such event: ${wanted.kind}` : `${wanted.kind}: acknowledged before, by ${before}`;
}

/** A new plan from this moment: joints keep, by name, what has been done to them. */
function changePlan(run: Run, plan: Extract<JournalEntry, { action: 'change plan' }>['plan']): string {
  const problems = planProblems(plan);
  if (problems.length > 0) return `refused: ${problems[0]!.path}: ${problems[0]!.text}`;
  // What was swept until now counts under the plan before; the string has not moved, so the next stretch starts where it is.
  settleAll(run.sweep, run.job);
  const before = run.job;
  const kept = new Map(before.joints.map((joint) => [joint.name, run.sweep.tallies[joint.index]!]));
  run.job = compileJob(plan, before.stream.channels);
  run.sweep = createSweep(run.job);
  renewToolPressure(run, before);
  for (const joint of run.job.joints) {
    const tally = kept.get(joint.name);
    if (!tally) continue;
    run.sweep.tallies[joint.index] = clipTally(tally, joint.from, joint.to, run.job.tools.length);
  }
  replanDepthAtTool(run);
  overtake(run);
  run.depthTag = createDepthTagSense(run.job);
  const { stretchM } = run.depthAtTool;
  run.toolDepths = run.job.tools.map((tool) => run.endDepth.depth + run.correctionM + stretchM - tool.offsetM);
  keepHangerSense(run, before);
  run.rollingQuality = createRollingQuality(run.job);
  run.work.joint = -1;
  run.work.tool = -1;
  run.work.rolling = -1;
  run.work.focusTool = Math.min(run.work.focusTool, run.job.tools.length - 1);
  run.work.focusJoint = -1;
  run.focusDepth = Number.NaN;
  return 'new plan in force';
}

function clipTally(tally: JointTally, from: number, to: number, tools: number): JointTally {
  const failed = { ...tally.failed };
  for (const cause of SWEPT_CAUSES) failed[cause] = clip(tally.failed[cause], from, to);
  return {
    ...tally,
    expanded: clip(tally.expanded, from, to),
    unseen: clip(tally.unseen, from, to),
    failed,
    deepest: new Array<number>(tools).fill(Number.NaN),
    revision: tally.revision + 1,
  };
}
