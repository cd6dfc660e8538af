/**
 * A run that is being worked: the source fills a bounded queue, one runner drains it through the reader and the
 * pipeline, and says that something changed. What changed is asked for by whoever sends it.
 *
 *   source ──bytes──▶ ChunkQueue ──runner──▶ reader ──samples──▶ journal feed ──▶ pipeline ──▶ traces, deltas
 *               └───▶ Recorder: a chunk is worked when it is on the disk, or when that takes too long
 */
import { Subject, type Subscription } from 'rxjs';
import { putReaderState, readerStateOf } from '../../ingest/readerState.ts';
import type { StreamReader } from '../../ingest/streamReader.ts';
import type { Sample } from '../../src/channels.ts';
import { Fault } from '../../src/fault.ts';
import { noteProblem } from '../../src/journal/journalLines.ts';
import { type Entered, type JournalEntry, POSTED_LIMITS, type PostedEntry } from '../../src/journal/journalSchema.ts';
import type { FinishNow, IngestState, SnapshotMessage } from '../../src/live/messages.ts';
import { pipeline } from '../../src/pipeline/pipeline.ts';
import { createRun, type PipelineInput, type Run } from '../../src/pipeline/run.ts';
import { turnedOff } from '../../src/pipeline/turnedOff.ts';
import { eventStateOf, eventsOf, nowOf, stepsOf } from '../../src/pipeline/view.ts';
import type { Plan } from '../../src/plan/planSchema.ts';
import { recordOf } from '../../src/record/record.ts';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import type { SampleLog } from '../../src/replay/sampleWire.ts';
import { appendRow, createTraceStore, type TraceStore } from '../../src/traces/traceStore.ts';
import type { Damage } from '../keep/readLog.ts';
import { LeftOut } from '../recording/leftOut.ts';
import { LiveRecording } from '../recording/liveRecording.ts';
import type { LiveState } from '../recording/stateKeeper.ts';
import { sourceCounts } from '../sourceCounts.ts';
import { type Chunk, ChunkQueue } from './chunkQueue.ts';
import { CourseLog } from './courseLog.ts';
import { DeltaBuilder, INGEST_EVERY_MS, ROWS_A_DELTA } from './deltaBuilder.ts';
import { EntryQueue } from './entryQueue.ts';
import { EntryTeller } from './entryTeller.ts';
import { ingestStateOf, type Link } from './ingestState.ts';
import { createJournalFeed, type JournalFeed } from './journalFeed.ts';
import type { Change, DeltaParts, LiveFeed } from './liveFeed.ts';
import type { EntryMaker, LiveCourse, LiveRunOptions } from './liveRunOptions.ts';

/** The runner gives way to sockets after this long, so that a burst does not hold up the pages. */
const RUNNER_TURN_MS = 8;
/** The same while a run comes back, which nobody watches yet. */
const COME_BACK_TURN_MS = 50;

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
  readonly #entering = new EntryQueue(() => this.#wake());
  #entriesMade = 0;
  #reading: 'open' | 'ending' | 'ended' = 'open';
  #tellEnded: () => void = () => {};
  /** Resolves when the source has ended and all that it sent is worked in. */
  readonly ended = new Promise<void>((resolve) => {
    this.#tellEnded = resolve;
  });
  readonly #recording: LiveRecording;
  readonly #course: CourseLog;
  readonly #teller: EntryTeller;
  /** What of its own log was damaged. */
  readonly leftOut = new LeftOut();

  constructor(options: LiveRunOptions) {
    const before = options.recording?.past.state ?? null;
    const journal = options.journal ?? options.recording?.past.journal ?? [];
    this.#options = options;
    this.#recording = new LiveRecording(options.recording, options.clock, () => this.#wake());
    this.run = options.name;
    this.plan = before?.plan ?? options.plan;
    const { traceRoom = 'whole' } = options;
    this.traces = createTraceStore({ gapAfterMs: options.job.stream.gapAfterMs, room: traceRoom });
    this.#state = before?.run ?? createRun(options.job, options.tag === undefined ? {} : { tag: options.tag });
    this.#samples = this.#state.samples;
    this.#deltas = new DeltaBuilder(this.#state);
    this.#queue = new ChunkQueue(options.queueLimitBytes);
    this.#pipeline = this.#inputs.pipe(pipeline(options.job, this.#state)).subscribe((run) => this.#advanced(run));
    const worked = this.#state.journal.entries.length;
    this.#course = new CourseLog(this.#samples, journal.slice(0, worked), {
      bytes: options.earlierBytes,
      createReader: (sink) => options.createReader(options.job.stream, sink),
      room: traceRoom,
    });
    this.#teller = new EntryTeller(options.plan.units, this.#course.entries, this.#state.journal);
    this.#journal = createJournalFeed(journal.slice(worked), (input) => this.#input(input));
    this.#reader = options.createReader(options.job.stream, (sample) => this.#sample(sample));
    if (before) putReaderState(this.#reader, before.reader);
  }

  /** Brings a recorded run back to where it was; before anybody watches, and before `start`. */
  async comeBack(): Promise<void> {
    const { past } = this.#recording;
    if (!past) return;
    this.#recording.comesBackFrom(this.#samples);
    for (const row of past.rows()) appendRow(this.traces, row);
    let untilMs = performance.now() + COME_BACK_TURN_MS;
    for (const damage of past.damages) this.leftOut.take(damage);
    const damaged = (damage: Damage) => this.leftOut.take(damage, this.#reader.counts.bytes);
    for (const kept of past.bytes(damaged)) {
      this.#reached();
      this.#recorded = Number.isNaN(kept.arrivalMs);
      this.#reader.push(kept.bytes, kept.arrivalMs);
      this.#recording.replayed(kept, () => this.#stateNow());
      if (performance.now() < untilMs) continue;
      this.#deltas.forgetRows();
      await new Promise((resolve) => setImmediate(resolve));
      untilMs = performance.now() + COME_BACK_TURN_MS;
    }
    this.#reached();
    // What was entered behind the last sample had been worked in at once.
    this.#journal.upTo(this.#state.lastMs + 1);
    this.#deltas.forgetRows();
    this.#teller.takeNew();
    this.#entriesMade = past.journal.length;
    this.#recording.passOver(this.#reader.counts.bytes);
  }

  /** Opens the source; resolves when it has been opened, which for a network source is not yet connected. */
  async start(): Promise<void> {
    this.#recording.start(() => this.changes.next('soon'));
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

  /** Takes no more, works off what was sent and ends the recording; what was seen stays to be looked at. */
  async closeRun(why: string): Promise<void> {
    await this.endSource(why);
    await this.ended;
    await this.#recording.end();
    this.changes.next('soon');
  }

  /** What the run is called in the library from now on. */
  rename(name: string): void {
    this.#recording.rename(name);
  }

  async close(): Promise<void> {
    this.#runner = 'stopped';
    this.#cancelCounts?.();
    await this.#options.source.close();
    // An entry that is on its way to the disk is worked in too.
    await this.#entering.rest();
    await this.#recording.stop();
    this.#pipeline.unsubscribe();
    this.changes.complete();
    this.links.complete();
  }

  /** The record so far; null before the first sample. */
  record(): RunRecord | null {
    return nowOf(this.#state) ? recordOf(this.#state, sourceCounts(this.#reader.counts)) : null;
  }

  /** What the run is counted from, beside its samples. */
  course(): LiveCourse {
    return {
      run: this.run,
      plan: this.#options.plan,
      tag: this.#state.tagPolicy,
      entries: this.#course.entries,
      source: sourceCounts(this.#reader.counts),
    };
  }

  /** All samples so far; a line that says why not where they are not at hand. */
  sampleLog(): Promise<SampleLog | string> {
    return this.#course.whole();
  }

  /** When the joint at work and the trip will be done. */
  finish(): FinishNow {
    return nowOf(this.#state)?.finish ?? { joint: null, trip: null };
  }

  /** First and last instant by the clock of the source; null before the first sample. */
  span(): { readonly fromMs: number | null; readonly toMs: number | null } {
    const { samples, firstMs, lastMs } = this.#state;
    return samples === 0 ? { fromMs: null, toMs: null } : { fromMs: firstMs, toMs: lastMs };
  }

  /** When the last sample came, by our clock; null before the first. */
  lastArrivalMs(): number | null {
    return nowOf(this.#state)?.arrivalMs ?? null;
  }

  /**
   * An entry of the journal, made now: kept, then worked in behind the newest sample. Its instant lies 1 ms behind that
   * sample's, so that the stream and the journal worked through again give the same run.
   * @param posted the entry, or what makes it of its instant: it is called when no sample is worked any more before the entry is
   * @throws Fault `bad journal` before the first sample, for a tag that no longer waits, or when there are too many, `cannot write`;
   *   whatever the maker throws
   */
  enter(posted: PostedEntry | EntryMaker): Promise<Entered> {
    return this.#entering.add(() => this.#enter(posted));
  }

  async #enter(posted: PostedEntry | EntryMaker): Promise<Entered> {
    const newestMs = this.#state.lastMs;
    if (this.#runner === 'stopped')
      throw new Fault('bad journal', 'the entry: found the run being opened anew, expected to be asked again');
    if (this.#state.samples === 0) throw new Fault('bad journal', 'the entry: found no sample yet, expected a run');
    if (this.#entriesMade >= POSTED_LIMITS.entries) {
      const { entries } = POSTED_LIMITS;
      throw new Fault('bad journal', `the entry: found ${entries} made in this run, expected fewer`);
    }
    // An entry is never before one that was worked in: those are read back in the order of their instants.
    const lastEntryMs = Date.parse(this.#course.entries.at(-1)?.at ?? '');
    const at = new Date(Math.max(newestMs + 1, lastEntryMs || 0)).toISOString();
    const { confirms, ...said } = { confirms: undefined, ...(typeof posted === 'function' ? posted(at) : posted) };
    if (confirms !== undefined && nowOf(this.#state)?.depthAtTool.offer?.step !== confirms) {
      throw new Fault('bad journal', 'the depth tag: found it settled already, expected one that waits');
    }
    const problem = said.action === 'note' ? noteProblem(this.#teller.journal, said) : null;
    if (problem !== null) throw new Fault('bad journal', problem);
    const entry: JournalEntry = { ...said, at };
    const { keepEntry } = this.#options;
    const inRun = await this.#recording.entry(entry);
    if (!inRun) await keepEntry?.(entry);
    this.#entriesMade += 1;
    this.#journal.enter(entry);
    this.changes.next('soon');
    const effect = this.#state.journal.entries.at(-1)?.text ?? '';
    return { entry, effect, kept: inRun ? 'run' : keepEntry ? 'file' : 'memory' };
  }

  ingest(): IngestState {
    const { kept } = this.#options;
    const { frames } = this.#reader.counts;
    const recording = kept ? ({ state: 'closed', ...kept, frames } as const) : this.#recording.state(frames);
    return ingestStateOf(
      this.#options.source.name,
      this.#link,
      this.#reader,
      this.#queue.refusedBytes,
      recording,
      this.leftOut.state(),
    );
  }

  takeDelta(): DeltaParts | null {
    const { link, linkDetail } = this.#link;
    // What is said at once when it changes; the counts come when they are due.
    const fares = JSON.stringify([link, linkDetail, { ...this.#recording.state(0), frames: 0 }]);
    const parts = this.#deltas.take(this.#options.clock.nowMs(), fares, () => this.ingest());
    if (this.#deltas.ingestOwed) this.#sendCountsLater();
    const lines = this.#teller.takeNew();
    return lines ? { ...parts, lines } : parts;
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
      journal: this.#teller.newest(),
    };
  }

  /** A promise when the queue fills up: a recorded source waits for it, a live one cannot. */
  #arrived(bytes: Uint8Array, arrivalMs: number): Promise<void> | undefined {
    const fresh = this.#recording.beyondKept(bytes);
    if (fresh.length > 0) {
      const ticket = this.#recording.ticketFor(fresh, arrivalMs);
      if (!this.#queue.push(fresh, arrivalMs, ticket)) this.#recording.queueRefused();
    }
    this.#wake();
    return this.#queue.isFilling ? new Promise((resolve) => this.#waiting.push(resolve)) : undefined;
  }

  #linkChanged(link: Link): void {
    this.#link = link;
    this.#recording.link({ link: link.link, detail: link.linkDetail });
    this.links.next(link);
    if (link.link === 'ended' && this.#reading === 'open') this.#reading = 'ending';
    this.#wake();
  }

  #wake(): void {
    if (this.#runner !== 'resting' || this.#entering.isBusy) return;
    this.#runner = 'due';
    setImmediate(() => this.#turn());
  }

  #turn(): void {
    if (this.#runner === 'stopped') return;
    this.#runner = 'resting';
    if (this.#entering.isBusy) return;
    const untilMs = performance.now() + RUNNER_TURN_MS;
    let waits = false;
    for (let chunk = this.#queue.peek(); chunk; chunk = this.#queue.peek()) {
      waits = this.#recording.waitsFor(chunk.ticket);
      if (waits) break;
      this.#queue.shift();
      this.#work(chunk);
      if (performance.now() >= untilMs) break;
    }
    if (!this.#queue.isFilling) for (const resolve of this.#waiting.splice(0)) resolve();
    if (this.#queue.bytes > 0) {
      if (!waits) this.#wake();
    } else if (this.#reading === 'ending') {
      this.#reading = 'ended';
      this.#reached();
      this.#reader.end();
      this.#journal.end();
      this.#tellEnded();
    }
    this.changes.next('soon');
  }

  #work({ bytes, arrivalMs, ticket }: Chunk): void {
    this.#reached();
    this.#recorded = Number.isNaN(arrivalMs);
    this.#recording.work(
      ticket,
      () => this.#reader.push(bytes, arrivalMs),
      () => this.#reader.counts.frames,
      () => this.#stateNow(),
    );
  }

  /** What was left out before the bytes that come next lies behind the newest sample. */
  #reached(): void {
    const { samples, lastMs } = this.#state;
    this.leftOut.reached(this.#reader.counts.bytes, samples === 0 ? -Infinity : lastMs);
  }

  #stateNow(): LiveState {
    const { bytes } = this.#reader.counts;
    return { run: this.#state, reader: readerStateOf(this.#reader), bytes, plan: this.plan };
  }

  #sample(sample: Sample): void {
    // A recorded stream has no arrival of its own: for who watches it, a sample arrives when it is played.
    if (this.#recorded) sample.arrivalMs = this.#options.clock.nowMs();
    this.#journal.sample(sample);
  }

  #input(input: PipelineInput): void {
    const { job } = this.#state;
    this.#course.take(input);
    this.#inputs.next(input);
    if (input.kind === 'journal') this.#teller.take(input.entry, this.#state.journal);
    if (this.#state.job === job || input.kind !== 'journal' || input.entry.action !== 'change plan') return;
    this.plan = input.entry.plan;
    this.#deltas.startOver();
    this.changes.next('everything');
  }

  #advanced(run: Run): void {
    if (run.samples === this.#samples) return;
    this.#samples = run.samples;
    this.leftOut.sample(run.lastMs);
    const row = this.#deltas.advanced();
    appendRow(this.traces, row);
    this.#recording.row(row);
    if (this.#deltas.rowsWaiting >= ROWS_A_DELTA) this.changes.next('now');
  }
}
