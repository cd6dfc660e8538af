/** What the page and its replay worker say to each other. Every question is answered once, in order. */
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import type { JointState } from '../../src/live/messages.ts';
import type { TagPolicy } from '../../src/pipeline/tagStep.ts';
import type { Plan } from '../../src/plan/planSchema.ts';
import type { SourceCounts } from '../../src/record/record.ts';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import type { Comparison } from '../../src/replay/compareRecords.ts';
import type { JointsBeside } from '../../src/replay/jointsBeside.ts';
import type { Overview } from '../../src/replay/overview.ts';
import type { Pass } from '../../src/replay/passes.ts';
import type { Changed, Shown } from '../../src/replay/player.ts';
import type { Scenario } from '../../src/replay/scenario.ts';

/** As it was shown then, or with the plan and the depth that are known at the end of what was fetched. */
export type Knowing = 'seen' | 'known';

/** The course as the service gives it, beside its samples. */
export interface FetchedCourse {
  readonly run: string;
  readonly plan: Plan;
  readonly tag: TagPolicy;
  readonly entries: readonly JournalEntry[];
  readonly source: SourceCounts;
}

export interface Telling {
  readonly knowing: Knowing;
  /** Everything is to be told, not what has changed since the last answer. */
  readonly anew: boolean;
}

export type Question =
  /** Samples as they came over the wire. The same run again: those that follow what is held. */
  | { readonly ask: 'load'; readonly course: FetchedCourse; readonly bytes: Uint8Array }
  | ({ readonly ask: 'seek'; readonly ms: number } & Telling)
  | ({ readonly ask: 'step'; readonly by: number } & Telling)
  | { readonly ask: 'what if'; readonly scenario: Scenario }
  /** Another run of the library, by its id there, to stand beside the one that is watched. */
  | { readonly ask: 'hold'; readonly run: string; readonly course: FetchedCourse; readonly bytes: Uint8Array }
  | { readonly ask: 'beside'; readonly a: SideAsked; readonly b: SideAsked }
  /** Every pass over the joints in a range of depth, m, of the plan that is in force at the end. */
  | { readonly ask: 'passes'; readonly side: SideAsked; readonly fromM: number; readonly toM: number }
  /** The record of the run so far, worked out here. */
  | { readonly ask: 'record' };

export type Answer =
  | { readonly answer: 'loaded'; readonly rows: number; readonly overview: Overview }
  /** The instant, whole, or as changes of what was told before. */
  | { readonly answer: 'shown'; readonly whole: Shown; readonly atMs: number }
  | { readonly answer: 'changed'; readonly changed: Changed; readonly atMs: number }
  | { readonly answer: 'counted'; readonly counted: WhatIfAnswer }
  | { readonly answer: 'held' }
  | { readonly answer: 'beside'; readonly beside: Beside }
  | { readonly answer: 'passes'; readonly passes: readonly Pass[] }
  | { readonly answer: 'record'; readonly record: RunRecord }
  | { readonly answer: 'refused'; readonly why: string };

/** One of what stands beside each other: the run that is watched as it was recorded, under a scenario, or another run. */
export type SideAsked =
  | { readonly kind: 'original' }
  | { readonly kind: 'scenario'; readonly scenario: Scenario }
  | { readonly kind: 'run'; readonly run: string };

/** The joints of a plan as they stand at the end. */
export interface SideJoints {
  readonly plan: Plan;
  readonly joints: readonly JointState[];
}

export interface Beside {
  readonly a: SideJoints;
  readonly b: SideJoints;
  readonly joints: JointsBeside;
  /** Null: they are two runs, whose events have no instants in common. */
  readonly comparison: Comparison | null;
}

/** The original and the scenario. */
export interface WhatIfAnswer {
  readonly scenario: Scenario;
  readonly comparison: Comparison;
  readonly beside: Beside;
  /** To count the run again, ms. */
  readonly tookMs: number;
}
