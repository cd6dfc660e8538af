/**
 * The run as a fold: `advance(run, sample)` works one sample into everything that is known, the same for live, replay,
 * command line and browser. Inputs must be in order of `sourceMs`.
 */
import type { Sample } from '../channels.ts';
import type { JournalEntry } from '../journal/journalSchema.ts';
import type { EventState, JointState, Now, TraceRow } from '../live/messages.ts';
import type { Job } from '../plan/job.ts';
import type { RunRecord } from '../record/recordSchema.ts';

export type PipelineInput =
  | { readonly kind: 'sample'; readonly sample: Sample }
  | { readonly kind: 'journal'; readonly entry: JournalEntry };

export interface Run {
  job: Job;
}
export interface SourceCounts {
  readonly frames: number;
  readonly rejected: number;
  readonly reasons: Readonly<Record<string, number>>;
}

export declare function createRun(job: Job): Run;
export declare function advance(run: Run, input: PipelineInput): void;
/** The state now, as the page shows it; null before the first sample. */
export declare function nowOf(run: Run): Now | null;
export declare function traceRowOf(run: Run): TraceRow;
/** A number that grows whenever the joint changes; lets a sender find what to send. */
export declare function jointRevision(run: Run, index: number): number;
export declare function jointStateOf(run: Run, index: number): JointState;
/** All events so far, by id; an event that changes gets a new `revision`. */
export declare function eventsOf(run: Run): readonly (EventState & { readonly revision: number })[];
export declare function recordOf(run: Run, source: SourceCounts): RunRecord;
