/**
 * Everything that is known of a run: plain data (numbers, strings, arrays), so that it can be kept and read back. It is
 * changed in place, since a run of 72 h holds 259,200 samples; only `src/pipeline` changes it.
 */
import type { Sample } from '../channels.ts';
import type { Job } from '../plan/job.ts';
import { createDepthAtTool, type DepthAtTool } from './depthAtTool.ts';
import { createDepthTagSense, type DepthTagSense } from './depthTag.ts';
import { createEndDepth, type EndDepth } from './endDepthState.ts';
import { createEventLog, type EventLog } from './eventLog.ts';
import { createHangerSense, type HangerSense } from './hangerSense.ts';
import type { JournalEffects } from './journalEffects.ts';
import type { Pressures } from './judgedPressure.ts';
import { createMotion, type Motion } from './motion.ts';
import { createPace, type Pace } from './pace.ts';
import { createPeriod, type Period } from './period.ts';
import { createPhaseSense, type PhaseSense } from './phaseSense.ts';
import { createPhaseTrack, type PhaseTrack } from './phaseTrack.ts';
import { createRollingQuality, type RollingQuality } from './rollingQuality.ts';
import { createSensorWatch, type SensorWatch } from './sensorWatch.ts';
import { createStringWeight, type StringWeight } from './setDown.ts';
import { createSlips, type Slips } from './slips.ts';
import { createStall, type Stall } from './stall.ts';
import { createStepLog, type StepLog } from './stepLog.ts';
import { createSweep, type Sweep } from './sweep.ts';
import type { TagPolicy } from './tagStep.ts';
import { createToolPressure, type ToolPressure } from './toolPressure.ts';
import { createUnitWatch, type UnitWatch } from './unitWatch.ts';
import { createWellWatch, type WellWatch } from './wellWatch.ts';
import { createWork, type Work } from './work.ts';

/** The last sample that the sweep could be measured to. */
export interface ValidPoint {
  atMs: number;
  depth: number;
  pressure: number;
  toolPressure: number;
  rotation: number;
}

export interface Run {
  job: Job;
  samples: number;
  firstMs: number;
  lastMs: number;
  sample: Sample | null;
  period: Period;
  endDepth: EndDepth;
  /** Added to the end depth; set by the journal, m. */
  correctionM: number;
  /** The pressures of this sample, as the recipes are judged on them. */
  pressures: Pressures;
  /** Corrected depth of each tool's contact, m. */
  toolDepths: number[];
  slips: Slips;
  motion: Motion;
  work: Work;
  /** When the focus was last looked for: at which depth and state of the joints. */
  focusDepth: number;
  workLeft: boolean;
  sweep: Sweep;
  valid: ValidPoint;
  /** Movement since the last valid point by the finest reading, m. */
  advancedM: number;
  stall: Stall;
  /** Since when the tool stalls, ms; NaN for not at all. */
  stalledMs: number;
  /** Recipes (bits) for which too fast a feed is proven now, and since when. */
  provenFastMs: [number, number];
  provenFastFromMs: [number, number];
  /** Bits of `BREACHES` that hold at this sample, delays apart. */
  breach: number;
  sensors: SensorWatch;
  events: EventLog;
  phaseSense: PhaseSense;
  phases: PhaseTrack;
  stringWeight: StringWeight;
  connections: number;
  /** Event of the present trouble with depth, -1 for none, and when it was last seen. */
  depthEvent: number;
  depthTroubleMs: number;
  journal: JournalEffects;
  toolPressure: ToolPressure;
  depthAtTool: DepthAtTool;
  depthTag: DepthTagSense;
  tagPolicy: TagPolicy;
  rollingQuality: RollingQuality;
  wellWatch: WellWatch;
  unitWatch: UnitWatch;
  hanger: HangerSense;
  pace: Pace;
  steps: StepLog;
  /** A depth that the journal set before the string's depth was known. */
  pendingDepth: { tool: number; depth: number } | null;
}

export interface RunOptions {
  /** `offer` (default): a depth tag waits for the journal; `apply`: it moves the depth as soon as it is recognised. */
  readonly tag?: TagPolicy;
}

export function createRun(job: Job, options: RunOptions = {}): Run {
  return {
    job,
    samples: 0,
    firstMs: Number.NaN,
    lastMs: Number.NaN,
    sample: null,
    period: createPeriod(),
    endDepth: createEndDepth(),
    correctionM: 0,
    pressures: { standpipe: Number.NaN, tool: Number.NaN },
    toolDepths: job.tools.map(() => Number.NaN),
    slips: createSlips(job.blockWeightKn),
    motion: createMotion(),
    work: createWork(),
    focusDepth: Number.NaN,
    workLeft: true,
    sweep: createSweep(job),
    valid: {
      atMs: Number.NaN,
      depth: Number.NaN,
      pressure: Number.NaN,
      toolPressure: Number.NaN,
      rotation: Number.NaN,
    },
    advancedM: 0,
    stall: createStall(),
    stalledMs: Number.NaN,
    provenFastMs: [Number.NaN, Number.NaN],
    provenFastFromMs: [Number.NaN, Number.NaN],
    breach: 0,
    sensors: createSensorWatch(),
    events: createEventLog(),
    phaseSense: createPhaseSense(),
    phases: createPhaseTrack(),
    stringWeight: createStringWeight(),
    connections: 0,
    depthEvent: -1,
    depthTroubleMs: Number.NaN,
    journal: { entries: [], acknowledged: [], decisions: {} },
    pendingDepth: null,
    toolPressure: createToolPressure(job),
    depthAtTool: createDepthAtTool(job),
    depthTag: createDepthTagSense(job),
    tagPolicy: options.tag ?? 'offer',
    rollingQuality: createRollingQuality(job),
    wellWatch: createWellWatch(job),
    unitWatch: createUnitWatch(job),
    hanger: createHangerSense(job),
    pace: createPace(job),
    steps: createStepLog(),
  };
}
