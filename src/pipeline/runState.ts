/**
 * Everything that is known of a run: plain data (numbers, strings, arrays), so that it can be kept and read back. It is
 * changed in place, since a run of 72 h holds 259,200 samples; only `src/pipeline` changes it.
 */
import type { Sample } from '../channels.ts';
import type { Job } from '../plan/job.ts';
import { createEndDepth, type EndDepth } from './endDepth.ts';
import { createEventLog, type EventLog } from './eventLog.ts';
import type { JournalEffects } from './journalEffects.ts';
import { createMotion, type Motion } from './motion.ts';
import { createPeriod, type Period } from './period.ts';
import { createPhaseSense, type PhaseSense } from './phaseSense.ts';
import { createPhaseTrack, type PhaseTrack } from './phaseTrack.ts';
import { createSensorWatch, type SensorWatch } from './sensorWatch.ts';
import { createStringWeight, type StringWeight } from './setDown.ts';
import { createSlips, type Slips } from './slips.ts';
import { createStall, type Stall } from './stall.ts';
import { createSweep, type Sweep } from './sweep.ts';
import { createWork, type Work } from './work.ts';

/** The last sample that the sweep could be measured to. */
export interface ValidPoint {
  atMs: number;
  depth: number;
  pressure: number;
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
  /** A depth that the journal set before the string's depth was known. */
  pendingDepth: { tool: number; depth: number } | null;
}

export function createRun(job: Job): Run {
  return {
    job,
    samples: 0,
    firstMs: Number.NaN,
    lastMs: Number.NaN,
    sample: null,
    period: createPeriod(),
    endDepth: createEndDepth(),
    correctionM: 0,
    toolDepths: job.tools.map(() => Number.NaN),
    slips: createSlips(job.blockWeightKn),
    motion: createMotion(),
    work: createWork(),
    focusDepth: Number.NaN,
    workLeft: true,
    sweep: createSweep(job),
    valid: { atMs: Number.NaN, depth: Number.NaN, pressure: Number.NaN, rotation: Number.NaN },
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
  };
}
