/** What a live run is made with, and what it says of itself to who plays it back. */
import type { Clock } from '../../ingest/clock.ts';
import type { Source } from '../../ingest/source.ts';
import type { StreamReader } from '../../ingest/streamReader.ts';
import type { Sample } from '../../src/channels.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import type { Run } from '../../src/pipeline/run.ts';
import type { Job } from '../../src/plan/job.ts';
import type { Plan } from '../../src/plan/planSchema.ts';
import type { SourceCounts } from '../../src/record/record.ts';
import type { TraceRoom } from '../../src/traces/traceStore.ts';
import type { RecordingParts } from '../recording/liveRecording.ts';
import type { EarlierOptions } from './courseLog.ts';

export interface LiveRunOptions {
  readonly name: string;
  readonly plan: Plan;
  readonly job: Job;
  /** Rig seconds that pass in one of ours. */
  readonly rate: number;
  readonly clock: Clock;
  readonly source: Source;
  readonly createReader: (stream: Job['stream'], sink: (sample: Sample) => void) => StreamReader;
  readonly journal?: readonly JournalEntry[];
  /** Keeps an entry that is made while the run goes on, for good; left out: it is kept in memory alone. */
  readonly keepEntry?: (entry: JournalEntry) => Promise<void>;
  readonly queueLimitBytes?: number;
  /** Left out: room for the longest run is made at once, so that no burst has to wait for it. */
  readonly traceRoom?: TraceRoom;
  /** Everything of this run that was recorded before, from its first byte, for pages that play it back. */
  readonly earlierBytes?: EarlierOptions['bytes'];
  /** A run of the library that is read back; left out: it is a live one. */
  readonly kept?: { readonly run: string; readonly name: string };
  /** What becomes of a depth tag; left out: it is offered. */
  readonly tag?: Run['tagPolicy'];
  /** Left out: nothing that arrives is kept. */
  readonly recording?: RecordingParts;
}

export interface LiveCourse {
  readonly run: string;
  /** The plan that the run began with. */
  readonly plan: Plan;
  readonly tag: Run['tagPolicy'];
  readonly entries: readonly JournalEntry[];
  readonly source: SourceCounts;
}
