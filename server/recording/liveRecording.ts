/**
 * The recording of a live run, as the run sees it: bytes get a ticket, a chunk is worked in when its ticket says that it is
 * on the disk or when that takes too long, and the state is kept now and then. Without parts nothing is kept.
 */
import type { Clock } from '../../ingest/clock.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import type { RecordingState } from '../../src/live/messages.ts';
import type { TraceRow } from '../../src/traces/traceColumns.ts';
import type { KeptBytes } from './keptRun.ts';
import type { KeptLink } from './keptSource.ts';
import type { Past } from './past.ts';
import { MOST_WAIT_MS, type Recorder } from './recorder.ts';
import type { LiveState, StateKeeper } from './stateKeeper.ts';
import type { Ticket } from './ticket.ts';

/** How a run is kept, and what is known of it from before. */
export interface RecordingParts {
  readonly recorder: Recorder;
  readonly past: Past;
  /** Null: its reader cannot be kept, and a restart works the whole log in. */
  readonly keeper: StateKeeper | null;
  /** The source is a recorded stream, which begins anew at every start: what is kept of it already is passed over. */
  readonly recordedSource: boolean;
}

export class LiveRecording {
  readonly #parts: RecordingParts | undefined;
  readonly #clock: Clock;
  /** A chunk may be worked in that had to wait. */
  readonly #wake: () => void;
  /** Frames that were worked in and are not on the disk. */
  #framesUnkept = 0;
  #passOver = 0;
  #awaited: Ticket | undefined;
  #overdue: Ticket | undefined;
  #cancelWait: (() => void) | undefined;
  #stopped: Promise<unknown> | undefined;

  constructor(parts: RecordingParts | undefined, clock: Clock, wake: () => void) {
    this.#parts = parts;
    this.#clock = clock;
    this.#wake = wake;
  }

  get past(): Past | undefined {
    return this.#parts?.past;
  }

  /** @param rows of the run that its kept state holds: the next one that is told follows them */
  comesBackFrom(rows: number): void {
    this.#parts?.keeper?.startAt(rows);
  }

  /** Bytes from before were worked in. @param state asked for when it is to be kept */
  replayed(place: Pick<KeptBytes, 'number' | 'hash'>, state: () => LiveState): void {
    this.#parts?.keeper?.workedKept(place, state);
  }

  /** @param bytes that a run that came back has been given: a source that begins anew gives them again */
  passOver(bytes: number): void {
    if (this.#parts?.recordedSource) this.#passOver = bytes;
  }

  /** @param changed told of every change of `state` */
  start(changed: () => void): void {
    this.#parts?.recorder.start(changed);
  }

  /** May be called more than once. */
  async stop(): Promise<void> {
    this.#cancelWait?.();
    this.#stopped ??= Promise.all([this.#parts?.recorder.stop(), this.#parts?.keeper?.close()]);
    await this.#stopped;
  }

  /** No more is taken into the run, which stays to be looked at. */
  async end(): Promise<void> {
    await this.#parts?.recorder.end();
    await this.stop();
  }

  rename(name: string): void {
    this.#parts?.recorder.rename(name);
  }

  /** Of what a recorded source gives, what is not kept from an earlier start. */
  beyondKept(bytes: Uint8Array): Uint8Array {
    if (this.#passOver === 0) return bytes;
    const passed = Math.min(this.#passOver, bytes.length);
    this.#passOver -= passed;
    return bytes.subarray(passed);
  }

  /** Undefined: nothing is recorded. */
  ticketFor(bytes: Uint8Array, arrivalMs: number): Ticket | undefined {
    return this.#parts?.recorder.bytes(bytes, arrivalMs);
  }

  /** Recorded and not worked in: the log knows more than the run. */
  queueRefused(): void {
    this.#parts?.keeper?.giveUp();
  }

  /** Whether a chunk is to wait for the disk; `wake` is called when it need not any longer. */
  waitsFor(ticket: Ticket | undefined): boolean {
    if (ticket?.state.kind !== 'waiting' || ticket === this.#overdue || performance.now() >= ticket.untilMs)
      return false;
    if (this.#awaited === ticket) return true;
    this.#awaited = ticket;
    this.#cancelWait?.();
    // A timer may come a little before its time: it says itself that the waiting is over.
    this.#cancelWait = this.#clock.after(MOST_WAIT_MS, () => {
      this.#overdue = ticket;
      this.#wake();
    });
    void ticket.settled.then(this.#wake);
    return true;
  }

  /**
   * Works a chunk in.
   * @param frames so far; asked for only where the chunk is not on the disk
   * @param state asked for when it is to be kept
   */
  work(ticket: Ticket | undefined, push: () => void, frames: () => number, state: () => LiveState): void {
    if (!ticket || ticket.state.kind === 'recorded') push();
    else {
      const before = frames();
      push();
      this.#countUnkept(ticket, frames() - before);
    }
    if (ticket) this.#parts?.keeper?.worked(ticket, state);
  }

  #countUnkept(ticket: Ticket, frames: number): void {
    this.#framesUnkept += frames;
    void ticket.settled.then(() => {
      if (ticket.state.kind === 'recorded') this.#framesUnkept -= frames;
    });
  }

  row(row: TraceRow): void {
    this.#parts?.keeper?.row(row);
  }

  link(change: Omit<KeptLink, 'kind'>): void {
    this.#parts?.recorder.link({ kind: 'link', ...change });
  }

  /** False: nothing is recorded. @throws Fault `cannot write`: then nothing was entered */
  async entry(entry: JournalEntry): Promise<boolean> {
    if (!this.#parts) return false;
    await this.#parts.recorder.entry(entry);
    return true;
  }

  /** @param frames so far */
  state(frames: number): RecordingState {
    return this.#parts?.recorder.state(frames - this.#framesUnkept) ?? { state: 'not kept' };
  }
}
