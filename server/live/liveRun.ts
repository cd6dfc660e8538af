/**
 * A run that is being worked: the source fills a bounded queue, one runner drains it through the reader and the
 * pipeline, and says that something changed. What changed is asked for by whoever sends it.
 *
 *   source ──bytes──▶ ChunkQueue ──runner──▶ reader ──samples──▶ journal feed ──▶ pipeline ──▶ traces, deltas
 */
import { Subject, type Subscription } from 'rxjs';
import type { Clock } from '../../ingest/clock.ts';
import type { Source } from '../../ingest/source.ts';
import type { StreamReader } from '../../ingest/streamReader.ts';
import { codeText } from '../../ingest/wits/items.ts';
import type { Sample } from '../../src/channels.ts';
import { Fault } from '../../src/fault.ts';
import { type Entered, type JournalEntry, POSTED_LIMITS, type PostedEntry } from '../../src/journal/journalSchema.ts';
import type { IngestState, SnapshotMessage } from '../../src/live/messages.ts';
import { pipeline } from '../../src/pipeline/pipeline.ts';
import { createRun, type PipelineInput, type Run } from '../../src/pipeline/run.ts';
import { turnedOff } from '../../src/pipeline/turnedOff.ts';
import { eventStateOf, eventsOf, nowOf, stepsOf } from '../../src/pipeline/view.ts';
import type { Job } from '../../src/plan/job.ts';
import type { Plan } from '../../src/plan/planSchema.ts';
import { recordOf } from '../../src/record/record.ts';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import { appendRow, createTraceStore, type TraceStore } from '../../src/traces/traceStore.ts';
import { sourceCounts } from '../sourceCounts.ts';
import { ChunkQueue } from './chunkQueue.ts';
import { DeltaBuilder, INGEST_EVERY_MS, ROWS_A_DELTA } from './deltaBuilder.ts';
import { createJournalFeed, type JournalFeed } from './journalFeed.ts';
import type { Change, DeltaParts, LiveFeed } from './liveFeed.ts';

/** The runner gives way to sockets after this long, so that a burst does not hold up the pages. */
const RUNNER_TURN_MS = 8;
/** Unknown item codes shown; the reader counts them all. */
const UNKNOWN_CODES_SHOWN = 64;
const QUEUE_FULL = 'queue full, bytes';

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
}

type Link = Pick<IngestState, 'link' | 'linkDetail'>;

export class LiveRun implements LiveFeed {
  readonly run: string;
  /** The plan in force; a journal may bring in another. */
  plan: Plan;
  readonly traces: TraceStore;
  readonly changes = new Subject<Change>();
  #cancelCounts: (() => void) | undefined;
  readonly links = new Subject<Link>();
  readonly #options: LiveRunOptions;
  readonly #state: Run;
  readonly #inputs = new Subject<PipelineInput>();
  readonly #pipeline: Subscription;
  readonly #reader: StreamReader;
  readonly #journal: JournalFeed;
  readonly #queue: ChunkQueue;
  readonly #deltas: DeltaBuilder;
  readonly #waiting: (() => void)[] = [];
  #recorded = false;
  #samples = 0;
  #link: Link = { link: 'connecting', linkDetail: '' };
  #runner: 'resting' | 'due' | 'stopped' = 'resting';
  /** While an entry is being kept no sample is worked: it takes effect exactly where its instant says. */
  #entering: Promise<unknown> = Promise.resolve();
  #entriesWaiting = 0;
  #entriesMade = 0;
  #reading: 'open' | 'ending' | 'ended' = 'open';

  constructor(options: LiveRunOptions) {
    this.#options = options;
    this.run = options.name;
    this.plan = options.plan;
    this.traces = createTraceStore({ gapAfterMs: options.job.stream.gapAfterMs, room: 'whole' });
    this.#state = createRun(options.job);
    this.#deltas = new DeltaBuilder(this.#state);
    this.#queue = new ChunkQueue(options.queueLimitBytes);
    this.#pipeline = this.#inputs.pipe(pipeline(options.job, this.#state)).subscribe((run) => this.#advanced(run));
    this.#journal = createJournalFeed(options.journal ?? [], (input) => this.#input(input));
    this.#reader = options.createReader(options.job.stream, (sample) => this.#sample(sample));
  }

  /** Opens the source; resolves when it has been opened, which for a network source is not yet connected. */
  async start(): Promise<void> {
    await this.#options.source.open({
      bytes: (chunk, arrivalMs) => this.#arrived(chunk, arrivalMs),
      link: (link, linkDetail) => this.#linkChanged({ link, linkDetail }),
    });
  }

  /** Takes no more from the source, which has ended for good, and works off what it sent. */
  async endSource(why: string): Promise<void> {
    await this.#options.source.close();
    this.#linkChanged({ link: 'ended', linkDetail: why });
  }

  async close(): Promise<void> {
    this.#runner = 'stopped';
    this.#cancelCounts?.();
    await this.#options.source.close();
    this.#pipeline.unsubscribe();
    this.changes.complete();
    this.links.complete();
  }

  /** The record so far; null before the first sample. */
  record(): RunRecord | null {
    return nowOf(this.#state) ? recordOf(this.#state, sourceCounts(this.#reader.counts)) : null;
  }

  /** When the last sample came, by our clock; null before the first. */
  lastArrivalMs(): number | null {
    return nowOf(this.#state)?.arrivalMs ?? null;
  }

  /**
   * An entry of the journal, made now: kept, then worked in behind the newest sample. Its instant lies 1 ms behind that
   * sample's, so that the stream and the journal worked through again give the same run.
   * @throws Fault `bad journal` before the first sample, for a tag that no longer waits, or when there are too many, `cannot write`.
   */
  enter(posted: PostedEntry): Promise<Entered> {
    this.#entriesWaiting += 1;
    const entered = this.#entering.then(() => this.#enter(posted));
    const done = () => {
      this.#entriesWaiting -= 1;
      this.#wake();
    };
    this.#entering = entered.then(done, done);
    return entered;
  }

  async #enter(posted: PostedEntry): Promise<Entered> {
    const newestMs = this.#state.lastMs;
    if (this.#state.samples === 0) throw new Fault('bad journal', 'the entry: found no sample yet, expected a run');
    if (this.#entriesMade >= POSTED_LIMITS.entries) {
      const { entries } = POSTED_LIMITS;
      throw new Fault('bad journal', `the entry: found ${entries} made in this run, expected fewer`);
    }
    const { confirms, ...said } = { confirms: undefined, ...posted };
    if (confirms !== undefined && nowOf(this.#state)?.depthAtTool.offer?.step !== confirms) {
      throw new Fault('bad journal', 'the depth tag: found it settled already, expected one that waits');
    }
    const entry: JournalEntry = { ...said, at: new Date(newestMs + 1).toISOString() };
    await this.#options.keepEntry?.(entry);
    this.#entriesMade += 1;
    this.#journal.enter(entry);
    this.changes.next('soon');
    const effect = this.#state.journal.entries.at(-1)?.text ?? '';
    return { entry, effect, kept: this.#options.keepEntry ? 'file' : 'memory' };
  }

  ingest(): IngestState {
    const { bytes, frames, samples, rejected, unknownCodes } = this.#reader.counts;
    const refused: Record<string, number> = { ...rejected };
    if (this.#queue.refusedBytes > 0) refused[QUEUE_FULL] = this.#queue.refusedBytes;
    return {
      source: this.#options.source.name,
      link: this.#link.link,
      // A recorded stream that cannot be read says why where its link is shown.
      linkDetail: this.#reader.refusal ?? this.#link.linkDetail,
      bytes,
      frames,
      samples,
      rejected: refused,
      unknownCodes: [...unknownCodes]
        .slice(0, UNKNOWN_CODES_SHOWN)
        .map(([code, { count, last }]) => ({ code: typeof code === 'number' ? codeText(code) : code, count, last })),
    };
  }

  takeDelta(): DeltaParts | null {
    const { link, linkDetail } = this.#link;
    const parts = this.#deltas.take(this.#options.clock.nowMs(), `${link} ${linkDetail}`, () => this.ingest());
    if (this.#deltas.ingestOwed) this.#sendCountsLater();
    return parts;
  }

  /** A source that falls silent right after a burst makes no further change that would bring its counts along. */
  #sendCountsLater(): void {
    this.#cancelCounts ??= this.#options.clock.after(INGEST_EVERY_MS, () => {
      this.#cancelCounts = undefined;
      this.changes.next('soon');
    });
  }

  snapshot(seq: number): SnapshotMessage {
    return {
      type: 'snapshot',
      seq,
      run: this.run,
      clock: { rate: this.#options.rate, serverMs: this.#options.clock.nowMs() },
      plan: this.plan,
      now: nowOf(this.#state),
      joints: this.#state.job.joints.map((_, index) => this.#deltas.joint(index)),
      events: eventsOf(this.#state).map(eventStateOf),
      steps: [...stepsOf(this.#state)],
      turnedOff: turnedOff(this.#state),
      ingest: this.ingest(),
    };
  }

  /** A promise when the queue fills up: a recorded source waits for it, a live one cannot. */
  #arrived(bytes: Uint8Array, arrivalMs: number): Promise<void> | undefined {
    this.#queue.push(bytes, arrivalMs);
    this.#wake();
    return this.#queue.isFilling ? new Promise((resolve) => this.#waiting.push(resolve)) : undefined;
  }

  #linkChanged(link: Link): void {
    this.#link = link;
    this.links.next(link);
    if (link.link === 'ended' && this.#reading === 'open') this.#reading = 'ending';
    this.#wake();
  }

  #wake(): void {
    if (this.#runner !== 'resting' || this.#entriesWaiting > 0) return;
    this.#runner = 'due';
    setImmediate(() => this.#turn());
  }

  #turn(): void {
    if (this.#runner === 'stopped') return;
    this.#runner = 'resting';
    if (this.#entriesWaiting > 0) return;
    const untilMs = performance.now() + RUNNER_TURN_MS;
    for (let chunk = this.#queue.shift(); chunk; chunk = this.#queue.shift()) {
      this.#recorded = Number.isNaN(chunk.arrivalMs);
      this.#reader.push(chunk.bytes, chunk.arrivalMs);
      if (performance.now() >= untilMs) break;
    }
    if (!this.#queue.isFilling) for (const resolve of this.#waiting.splice(0)) resolve();
    if (this.#queue.bytes > 0) this.#wake();
    else if (this.#reading === 'ending') {
      this.#reading = 'ended';
      this.#reader.end();
      this.#journal.end();
    }
    this.changes.next('soon');
  }

  #sample(sample: Sample): void {
    // A recorded stream has no arrival of its own: for who watches it, a sample arrives when it is played.
    if (this.#recorded) sample.arrivalMs = this.#options.clock.nowMs();
    this.#journal.sample(sample);
  }

  #input(input: PipelineInput): void {
    const { job } = this.#state;
    this.#inputs.next(input);
    if (this.#state.job === job || input.kind !== 'journal' || input.entry.action !== 'change plan') return;
    this.plan = input.entry.plan;
    this.#deltas.startOver();
    this.changes.next('everything');
  }

  #advanced(run: Run): void {
    if (run.samples === this.#samples) return;
    this.#samples = run.samples;
    appendRow(this.traces, this.#deltas.advanced());
    if (this.#deltas.rowsWaiting >= ROWS_A_DELTA) this.changes.next('now');
  }
}
