/**
 * What really happened on a simulated trip, worked out from the rig's own noise-free state at every fine step, by the
 * rules for an expanded metre. Deliberately another way than the pipeline's: each joint is a row of millimetres.
 */
import type { EventName } from '../../src/events.ts';
import type { PhaseName } from '../../src/phases.ts';
import type { Joint } from '../../src/plan/job.ts';
import { jointFinder } from './jointFinder.ts';
import type { Rig } from './rig.ts';

export interface TrueJoint {
  readonly name: string;
  readonly requiredM: number;
  readonly expandedM: number;
  /** Swept while the feed was out and not expanded otherwise. */
  readonly unprovenM: number;
  /** Measured depths of what is not expanded, m. */
  readonly gaps: readonly (readonly [from: number, to: number])[];
}

export interface TrueIncident {
  readonly kind: EventName;
  readonly joint: string;
  readonly fromMs: number;
  readonly toMs: number;
}

export interface TruePhase {
  readonly phase: PhaseName;
  readonly fromMs: number;
  readonly toMs: number;
}

/** A step of the hanger's work, or a fault of it, as it came out. */
export interface TrueHangerStep {
  readonly kind: string;
  readonly name: string;
  readonly fromMs: number;
  readonly toMs: number;
  readonly numbers: Readonly<Record<string, number>>;
}

export interface Truth {
  readonly fromMs: number;
  readonly toMs: number;
  readonly frames: number;
  readonly connections: number;
  readonly joints: readonly TrueJoint[];
  /** Those that the scenario asked for, as they came out. */
  readonly incidents: readonly TrueIncident[];
  /** Rough: what the driller was about, not what the readings prove. */
  readonly phases: readonly TruePhase[];
  /** Only on a trip that sets its hanger. */
  readonly hanger?: readonly TrueHangerStep[];
}

const CELLS_PER_M = 1000;
const EXPANDED = 1;
const UNPROVEN = 2;
/** A feed below this is no advance, m/min. */
const STANDS_BELOW = 0.05;

/** Which of the scenario's incidents is under way. */
export interface Underway {
  readonly kind: EventName;
  readonly joint: Joint;
}

function conditionHolds(incident: Underway, rig: Rig): boolean {
  const recipe = incident.joint.recipe!;
  const { pressure, rpm, speed } = rig.state;
  switch (incident.kind) {
    case 'stall':
      return rig.troubles.held && Math.abs(speed) < STANDS_BELOW;
    case 'low pressure':
      return pressure < recipe.pressureMinKpa && speed > STANDS_BELOW;
    case 'high pressure':
      return pressure > recipe.pressureMaxKpa;
    case 'rotation lost':
      return rpm < recipe.rpmMin && speed > STANDS_BELOW;
    case 'fast feed':
      return speed > recipe.feedMaxMPerMin;
    case 'washout':
      return rig.troubles.leak > 0;
    case 'plugging':
      return rig.troubles.plugging < 1;
    case 'pump mismatch':
      return rig.troubles.delivery < 1;
    case 'valve not shifted':
      return rig.troubles.valveStuck && rig.state.valve < 0.5 && rig.state.flow >= rig.setUp.hydraulics.shiftsAtLPerMin;
    case 'valve not reset':
      return rig.troubles.valveStuck && rig.state.valve > 0.5 && rig.controls.flowLPerMin > 0;
    default:
      return false;
  }
}

/** Follows the rig step by step; the driller says what he is about. */
export class TruthKeeper {
  /** Which of the scenario's incidents is under way. */
  underway: Underway | undefined;
  phase: PhaseName = 'waiting';
  connections = 0;
  /** The feed is out: what is swept now is seen by nobody. */
  unseen = false;

  readonly #rig: Rig;
  readonly #near: ReturnType<typeof jointFinder>;
  readonly #grids: readonly Uint8Array[];
  readonly #fromMs: number;
  readonly #incidents: { kind: EventName; joint: string; fromMs: number; toMs: number; of: Underway | undefined }[] =
    [];
  readonly #hanger: TrueHangerStep[] = [];
  readonly #phases: { phase: PhaseName; fromMs: number; toMs: number }[] = [];
  #lastEnd: number;

  constructor(rig: Rig) {
    this.#rig = rig;
    this.#near = jointFinder(rig.job);
    this.#grids = rig.job.joints.map((joint) => new Uint8Array(Math.round(joint.requiredM * CELLS_PER_M)));
    this.#fromMs = rig.state.timeMs;
    this.#lastEnd = rig.state.endDepth;
  }

  /** Looks at the rig after a step. */
  look(): void {
    const end = this.#rig.state.endDepth;
    if (end > this.#lastEnd) this.#lookAtJoints(end);
    this.#lastEnd = end;
    this.#lookAtIncident();
    this.#lookAtPhase();
  }

  /** A stretch without frames, from the last frame before it to the first after it. */
  outage(joint: Joint, fromMs: number, toMs: number): void {
    this.#incidents.push({ kind: 'data gap', joint: joint.name, fromMs, toMs, of: undefined });
  }

  /** A step of the hanger's work is done. */
  did(kind: string, name: string, fromMs: number, numbers: Record<string, number>): void {
    this.#hanger.push({ kind, name, fromMs, toMs: this.#rig.state.timeMs, numbers });
  }

  result(frames: number): Truth {
    return {
      fromMs: this.#fromMs,
      toMs: this.#rig.state.timeMs,
      frames,
      connections: this.connections,
      joints: this.#rig.job.joints.map((joint) => trueJoint(joint, this.#grids[joint.index]!)),
      incidents: this.#incidents
        .map(({ kind, joint, fromMs, toMs }) => ({ kind, joint, fromMs, toMs }))
        .sort((a, b) => a.fromMs - b.fromMs),
      phases: this.#phases,
      ...(this.#hanger.length > 0 && { hanger: this.#hanger }),
    };
  }

  #lookAtJoints(end: number): void {
    const { pressure, rpm, speed } = this.#rig.state;
    for (const tool of this.#rig.job.tools) {
      for (const joint of this.#near(end - tool.offsetM)) {
        const recipe = joint.recipe!;
        if (!recipe.tools.includes(tool.index)) continue;
        const from = this.#lastEnd - tool.offsetM;
        const to = end - tool.offsetM;
        if (this.unseen) this.#sweep(joint, from, to, UNPROVEN);
        else if (pressure >= recipe.pressureMinKpa && rpm >= recipe.rpmMin && speed <= recipe.feedMaxMPerMin) {
          this.#sweep(joint, from, to, EXPANDED);
        }
      }
    }
  }

  #sweep(joint: Joint, from: number, to: number, mark: number): void {
    const grid = this.#grids[joint.index]!;
    // A cell counts when its middle has been passed.
    const first = Math.max(0, Math.ceil((from - joint.from) * CELLS_PER_M - 0.5));
    const end = Math.min(grid.length, Math.ceil((to - joint.from) * CELLS_PER_M - 0.5));
    for (let i = first; i < end; i++) grid[i] = grid[i]! | mark;
  }

  #lookAtIncident(): void {
    const incident = this.underway;
    if (!incident || !conditionHolds(incident, this.#rig)) return;
    const now = this.#rig.state.timeMs;
    const last = this.#incidents.at(-1);
    if (last && last.of === incident) last.toMs = now;
    else
      this.#incidents.push({ kind: incident.kind, joint: incident.joint.name, fromMs: now, toMs: now, of: incident });
  }

  #lookAtPhase(): void {
    const now = this.#rig.state.timeMs;
    const last = this.#phases.at(-1);
    if (last && last.phase === this.phase) last.toMs = now;
    else this.#phases.push({ phase: this.phase, fromMs: last ? last.toMs : this.#fromMs, toMs: now });
  }
}

function trueJoint(joint: Joint, grid: Uint8Array): TrueJoint {
  let expanded = 0;
  let unproven = 0;
  const gaps: [number, number][] = [];
  const depth = (cells: number) => Math.round((joint.from + cells / CELLS_PER_M) * CELLS_PER_M) / CELLS_PER_M;
  let gapFrom = -1;
  for (let i = 0; i <= grid.length; i++) {
    const isExpanded = i === grid.length || (grid[i]! & EXPANDED) !== 0;
    if (i < grid.length && isExpanded) expanded++;
    else if (i < grid.length && (grid[i]! & UNPROVEN) !== 0) unproven++;
    if (!isExpanded && gapFrom < 0) gapFrom = i;
    if (isExpanded && gapFrom >= 0) {
      gaps.push([depth(gapFrom), depth(i)]);
      gapFrom = -1;
    }
  }
  return {
    name: joint.name,
    requiredM: joint.requiredM,
    expandedM: expanded / CELLS_PER_M,
    unprovenM: unproven / CELLS_PER_M,
    gaps,
  };
}
