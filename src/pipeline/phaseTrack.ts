/**
 * The phases of a run as a chain without hole or overlap. A new phase must be supported for its settling time before it
 * is entered, and is then dated back to when the support began.
 */
import { PHASES, type PhaseName } from '../phases.ts';

export interface PhaseEntry {
  phase: PhaseName;
  joint: string | null;
  fromMs: number;
  /** Equals the start of the next entry; NaN for the last. */
  toMs: number;
}

export interface PhaseTrack {
  entries: PhaseEntry[];
  candidate: PhaseName | null;
  candidateJoint: string | null;
  candidateMs: number;
}

/** Phases of one joint: a new joint makes a new entry. In the others the joint is where the phase began. */
const PER_JOINT: ReadonlySet<PhaseName> = new Set([
  'expanding isolation',
  'expanding screen',
  'passing blank',
  'stalled',
]);

export function createPhaseTrack(): PhaseTrack {
  return { entries: [], candidate: null, candidateJoint: null, candidateMs: Number.NaN };
}

export function currentPhase(track: PhaseTrack): PhaseEntry | undefined {
  return track.entries[track.entries.length - 1];
}

/** Enters a phase from `fromMs`, which may lie back, but not before the present phase began. */
export function enterPhase(track: PhaseTrack, phase: PhaseName, joint: string | null, fromMs: number): void {
  track.candidate = null;
  const current = currentPhase(track);
  if (!current) {
    track.entries.push({ phase, joint, fromMs, toMs: Number.NaN });
    return;
  }
  if (isSame(current, phase, joint)) return;
  const from = Math.max(fromMs, current.fromMs);
  if (from === current.fromMs) {
    // Nothing is left of the present phase: the new one takes its place, or joins the one before.
    track.entries.pop();
    const before = currentPhase(track);
    if (before && isSame(before, phase, joint)) before.toMs = Number.NaN;
    else track.entries.push({ phase, joint, fromMs: from, toMs: Number.NaN });
    return;
  }
  current.toMs = from;
  track.entries.push({ phase, joint, fromMs: from, toMs: Number.NaN });
}

const isSame = (entry: PhaseEntry, phase: PhaseName, joint: string | null): boolean =>
  entry.phase === phase && (entry.joint === joint || !PER_JOINT.has(phase));

/** Supports a phase at one sample. */
export function supportPhase(track: PhaseTrack, phase: PhaseName, joint: string | null, atMs: number): void {
  const current = currentPhase(track);
  if (!current || PHASES[phase].settleMs === 0) {
    enterPhase(track, phase, joint, atMs);
    return;
  }
  if (isSame(current, phase, joint)) {
    track.candidate = null;
    return;
  }
  if (track.candidate !== phase || (track.candidateJoint !== joint && PER_JOINT.has(phase))) {
    track.candidate = phase;
    track.candidateJoint = joint;
    track.candidateMs = atMs;
  }
  if (atMs - track.candidateMs >= PHASES[phase].settleMs)
    enterPhase(track, phase, track.candidateJoint, track.candidateMs);
}
