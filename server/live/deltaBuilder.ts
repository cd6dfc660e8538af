/** What changed in a run since the last time it was asked: only that goes to the pages. */
import type { IngestState, JointState, TraceRow } from '../../src/live/messages.ts';
import type { Run } from '../../src/pipeline/run.ts';
import {
  eventStateOf,
  eventsOf,
  eventsRevision,
  jointRevision,
  jointStateOf,
  nowOf,
  stepsOf,
  stepsRevision,
  traceRowOf,
} from '../../src/pipeline/view.ts';
import type { DeltaParts } from './liveFeed.ts';

/** Rows that wait for the next delta before one is made at once, so that a fast replay stays in small messages. */
export const ROWS_A_DELTA = 256;
/** Between two sendings of the counts of the source; a change of its link goes at once. */
export const INGEST_EVERY_MS = 1000;

export class DeltaBuilder {
  readonly #run: Run;
  #jointRevisions: number[];
  /** What is said of each joint, by the revision that it was worked out at: every page is told the same. */
  #said = new Map<number, { revision: number; state: JointState }>();
  #eventsRevision: number;
  #stepsRevision: number;
  #rows: TraceRow[] = [];
  #ingestAtMs = -Infinity;
  #ingestLink = '';
  #ingestBytes = -1;
  /** The counts were asked for too soon after the last sending: they are to be asked for again. */
  ingestOwed = false;

  constructor(run: Run) {
    this.#run = run;
    this.#eventsRevision = eventsRevision(run);
    this.#stepsRevision = stepsRevision(run);
    this.#jointRevisions = this.#revisions();
  }

  /** The plan has changed, and with it the joints. */
  startOver(): void {
    this.#jointRevisions = this.#revisions();
    this.#said.clear();
  }

  /** The state of a joint as all pages are told it until it changes: its 1σ wavers with every sample. */
  joint(index: number): JointState {
    const revision = jointRevision(this.#run, index);
    const said = this.#said.get(index);
    if (said?.revision === revision) return said.state;
    const state = jointStateOf(this.#run, index);
    this.#said.set(index, { revision, state });
    return state;
  }

  #revisions(): number[] {
    return this.#run.job.joints.map((_, index) => jointRevision(this.#run, index));
  }

  /** The run advanced by one sample; returns its row. */
  advanced(): TraceRow {
    const row = traceRowOf(this.#run);
    this.#rows.push(row);
    return row;
  }

  /** Nobody waits for them. */
  forgetRows(): void {
    this.#rows = [];
  }

  get rowsWaiting(): number {
    return this.#rows.length;
  }

  take(nowMs: number, link: string, ingest: () => IngestState): DeltaParts | null {
    const parts: DeltaParts = {};
    if (this.#rows.length > 0) {
      const now = nowOf(this.#run);
      if (now) parts.now = now;
      parts.rows = this.#rows;
      this.#rows = [];
    }
    this.#joints(parts);
    this.#events(parts);
    this.#steps(parts);
    this.#ingest(parts, nowMs, link, ingest);
    return Object.keys(parts).length > 0 ? parts : null;
  }

  #joints(parts: DeltaParts): void {
    for (let i = 0; i < this.#run.job.joints.length; i++) {
      const revision = jointRevision(this.#run, i);
      if (revision === this.#jointRevisions[i]) continue;
      this.#jointRevisions[i] = revision;
      parts.joints ??= [];
      parts.joints.push(this.joint(i));
    }
  }

  #events(parts: DeltaParts): void {
    if (eventsRevision(this.#run) === this.#eventsRevision) return;
    parts.events = eventsOf(this.#run)
      .filter(({ revision }) => revision > this.#eventsRevision)
      .map(eventStateOf);
    this.#eventsRevision = eventsRevision(this.#run);
  }

  /** Few and short: all of them, when one has changed. A copy, since the run changes them in place. */
  #steps(parts: DeltaParts): void {
    if (stepsRevision(this.#run) === this.#stepsRevision) return;
    this.#stepsRevision = stepsRevision(this.#run);
    parts.steps = stepsOf(this.#run).map((step) => ({ ...step }));
  }

  /** The reader works its counts out when asked, so it is asked seldom. */
  #ingest(parts: DeltaParts, nowMs: number, link: string, ingest: () => IngestState): void {
    this.ingestOwed = link === this.#ingestLink && nowMs - this.#ingestAtMs < INGEST_EVERY_MS;
    if (this.ingestOwed) return;
    const state = ingest();
    if (link === this.#ingestLink && state.bytes === this.#ingestBytes) return;
    this.#ingestLink = link;
    this.#ingestAtMs = nowMs;
    this.#ingestBytes = state.bytes;
    parts.ingest = state;
  }
}
