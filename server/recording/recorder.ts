/**
 * Keeps what a live run receives: bytes before they are decoded, what people do, changes of the link. The run goes on
 * whether the disk takes it or not, and says which.
 */
import type { Clock } from '../../ingest/clock.ts';
import { Fault } from '../../src/fault.ts';
import { JOURNAL_LIMITS, type JournalEntry } from '../../src/journal/journalSchema.ts';
import type { RecordingState } from '../../src/live/messages.ts';
import type { Disk } from '../keep/disk.ts';
import { DiskWatch, type Room, WATCH_EVERY_MS } from '../keep/diskWatch.ts';
import type { Appended } from '../keep/rawLog.ts';
import type { RunWriter } from '../keep/runWriter.ts';
import type { KeptLink } from './keptSource.ts';
import type { Ticket, TicketState } from './ticket.ts';

/** The live screen is never held up longer than this by the disk; one that takes its time is caught up with later. */
export const MOST_WAIT_MS = 250;
/** Bytes of one record; a source that gives more at once has them cut. */
const RECORD_BYTES = 1024 * 1024;

export interface RecorderOptions {
  readonly writer: RunWriter;
  readonly id: string;
  readonly name: string;
  readonly disk: Disk;
  /** That is watched for room. */
  readonly folder: string;
  readonly clock: Clock;
  readonly report: (line: string) => void;
  /** Bytes of the journal that the run has already. */
  readonly journalBytes?: number;
  /** Takes an entry into the run after it was closed; left out: none is. @throws Fault */
  readonly enterAfterwards?: (entry: JournalEntry) => Promise<void>;
}

type Trouble = { readonly why: string; readonly sinceMs: number };

export class Recorder {
  readonly id: string;
  readonly #options: RecorderOptions;
  #name: string;
  #standing: 'open' | 'closed' = 'open';
  readonly #watch: DiskWatch;
  #trouble: Trouble | null = null;
  #resumedMs: number | null = null;
  #journalBytes: number;
  #changed: () => void = () => {};
  #cancelLook: (() => void) | null = null;
  #looking: Promise<void> = Promise.resolve();

  constructor(options: RecorderOptions) {
    const { writer, disk, folder, clock } = options;
    this.id = options.id;
    this.#name = options.name;
    this.#options = options;
    this.#journalBytes = options.journalBytes ?? 0;
    this.#watch = new DiskWatch({
      disk,
      folder,
      clock,
      recordings: () => [writer],
      onRoom: (room) => this.#room(room),
    });
  }

  /** Watches the room on the disk from now on. @param changed told of every change of `state` */
  start(changed: () => void): void {
    this.#changed = changed;
    this.#lookAgain();
  }

  /** What the run is called from now on. */
  rename(name: string): void {
    this.#name = name;
    this.#changed();
  }

  /** No more is taken into the run. The writer is left open: whoever opened it closes it. */
  async end(): Promise<void> {
    this.#standing = 'closed';
    this.#changed();
    await this.stop();
  }

  /** The writer is left open: whoever opened it closes it. */
  async stop(): Promise<void> {
    this.#cancelLook?.();
    this.#cancelLook = null;
    this.#changed = () => {};
    await this.#looking;
  }

  /**
   * Gives bytes to be recorded, in the order of the calls.
   * @param arrivalMs ms since 1970 UTC; NaN for a recorded stream: then the record bears the time of the recording
   */
  bytes(chunk: Uint8Array, arrivalMs: number): Ticket {
    const nowMs = this.#options.clock.nowMs();
    const untilMs = performance.now() + MOST_WAIT_MS;
    const ticket = { state: { kind: 'waiting' } as TicketState, settled: Promise.resolve(), untilMs };
    const pieces: Promise<Appended>[] = [];
    for (let from = 0; from < chunk.length; from += RECORD_BYTES) {
      // The source uses its buffer again; the log keeps this until it is on the disk.
      const piece = Uint8Array.from(chunk.subarray(from, from + RECORD_BYTES));
      pieces.push(this.#options.writer.record(piece, Number.isNaN(arrivalMs) ? nowMs : arrivalMs));
    }
    ticket.settled = Promise.all(pieces).then((appended) => {
      ticket.state = this.#settled(appended);
    });
    return ticket;
  }

  /** For good. @throws Fault `cannot write`: then nothing was entered */
  async entry(entry: JournalEntry): Promise<void> {
    const { enterAfterwards } = this.#options;
    if (this.#standing === 'closed' && enterAfterwards) return enterAfterwards(entry);
    if (this.#standing === 'closed') {
      throw new Fault(
        'bad journal',
        `run ${this.#name}: found it closed, expected an open one; reopen it to enter more`,
      );
    }
    const length = Buffer.byteLength(JSON.stringify(entry));
    if (this.#journalBytes + length > JOURNAL_LIMITS.bytes) {
      const { bytes } = JOURNAL_LIMITS;
      throw new Fault(
        'cannot write',
        `the journal: found no room for the entry, expected at most ${bytes} bytes in all`,
      );
    }
    const appended = await this.#options.writer.journal(entry, this.#options.clock.nowMs());
    if (appended.kind === 'not recorded') {
      throw new Fault('cannot write', `the journal: found ${appended.reason}, expected to add a line`);
    }
    this.#journalBytes += length;
  }

  /** Told for the record; nothing waits for it. */
  link(change: KeptLink): void {
    void this.#options.writer.link(change, this.#options.clock.nowMs());
  }

  /** @param frames that are on the disk */
  state(frames: number): RecordingState {
    const { id: run } = this.#options;
    const name = this.#name;
    if (this.#standing === 'closed') return { state: 'closed', run, name, frames };
    const { level: room } = this.#watch.room;
    const common = { run, name, frames, room, resumedMs: this.#resumedMs };
    return this.#trouble ? { state: 'not recording', ...common, ...this.#trouble } : { state: 'recording', ...common };
  }

  #settled(appended: readonly Appended[]): TicketState {
    const refused = appended.find((each) => each.kind === 'not recorded');
    if (refused) {
      this.#stopped(refused.reason);
      return { kind: 'lost' };
    }
    this.#goesOn();
    const last = appended.at(-1)!;
    return last.kind === 'recorded' ? { kind: 'recorded', place: last } : { kind: 'lost' };
  }

  #stopped(why: string): void {
    if (this.#trouble?.why === why) return;
    this.#trouble = { why, sinceMs: this.#trouble?.sinceMs ?? this.#options.clock.nowMs() };
    this.#changed();
  }

  #goesOn(): void {
    if (this.#trouble === null) return;
    this.#trouble = null;
    this.#resumedMs = this.#options.clock.nowMs();
    this.#changed();
  }

  #lookAgain(): void {
    this.#looking = this.#look();
    this.#cancelLook = this.#options.clock.after(WATCH_EVERY_MS, () => this.#lookAgain());
  }

  async #look(): Promise<void> {
    await this.#watch.look();
    const { state } = this.#options.writer;
    if (state.kind === 'stopped') this.#stopped(state.reason);
    else if (state.kind === 'writing') this.#goesOn();
  }

  #room({ level, freeBytes, totalBytes }: Room): void {
    if (level !== 'plenty') {
      const share =
        totalBytes > 0 ? `${((100 * freeBytes) / totalBytes).toFixed(1)} % free` : 'its room cannot be told';
      this.#options.report(`the disk that is recorded on: ${share}`);
    }
    this.#changed();
  }
}
