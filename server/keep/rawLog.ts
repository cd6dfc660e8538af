/**
 * The raw log of a run, being written: what arrives is on the disk before anybody is told so.
 *
 *     append ──> waiting ──> one write, one fdatasync for all that waits ──> recorded, in order
 *                               │ no room                │ anything else
 *                               v                        v
 *                           stopped (disk full)     close, reopen, check the last record, cut what was not synced, write again
 *                               │ resume()               │ three times in vain
 *                               └── hole mark first <── stopped (disk failed)
 *
 * A record that was refused is not in the log afterwards; one that was acknowledged is.
 */
import { invariant } from '../../src/fault.ts';
import { DiskError } from './disk.ts';
import type { LogHead } from './logHead.ts';
import { LogTail, type LogTailOptions, lineOf, type Place } from './logTail.ts';
import { MOST_PAYLOAD, type RecordKind } from './rawRecord.ts';

/** Payload that may wait for the disk: hours of what a rig sends. */
const MOST_WAITING_BYTES = 2 * MOST_PAYLOAD;
/** Payload of one commit, unless one record is longer. */
const COMMIT_BYTES = 1024 * 1024;
/** Writes of the same records before the disk counts as failed. */
const TRIES = 3;
/** Room that must be there again before recording resumes, bytes: else it would stop at once. */
export const RESUME_BYTES = 2 * 1024 * 1024;

export type StopReason = 'disk full' | 'disk failed';
export type LogState =
  | { readonly kind: 'writing' }
  | { readonly kind: 'stopped'; readonly reason: StopReason; readonly line: string }
  | { readonly kind: 'closed' };

export type Appended =
  /** On the disk, as this record. */
  | ({ readonly kind: 'recorded' } & Place)
  | { readonly kind: 'not recorded'; readonly reason: StopReason | 'closed' | 'too much waits' };

/** What was not recorded: the payload of the mark that is written first afterwards, as JSON. */
export interface HoleMark {
  readonly mark: 'hole';
  readonly reason: StopReason | 'too much waits';
  readonly fromMs: number;
  readonly toMs: number;
  readonly records: number;
  readonly bytes: number;
}
type Missed = Omit<HoleMark, 'mark' | 'reason'>;

interface Waiting {
  readonly kind: RecordKind;
  readonly bytes: Uint8Array;
  readonly arrivalMs: number;
  readonly done: (appended: Appended) => void;
}

export class RawLog {
  readonly #options: LogTailOptions;
  readonly #tail: LogTail;
  #state: LogState = { kind: 'writing' };
  #waiting: Waiting[] = [];
  #waitingBytes = 0;
  #working: Promise<void> | null = null;
  /** Refused since the last hole mark. */
  #missed: Missed | null = null;

  /** Use `openRawLog`. @throws DiskError */
  constructor(options: LogTailOptions) {
    this.#options = options;
    this.#tail = new LogTail(options);
  }

  /** The last record that is on the disk. */
  get head(): LogHead {
    return this.#tail.head;
  }

  get state(): LogState {
    return this.#state;
  }

  /**
   * Resolves when the record is on the disk, or will not be; never rejects. Records are numbered in the order of the calls.
   * `bytes` are not copied: leave them as they are until then.
   * @param bytes at most MOST_PAYLOAD
   * @param arrivalMs ms since 1970 UTC, our clock
   */
  append(kind: RecordKind, bytes: Uint8Array, arrivalMs: number): Promise<Appended> {
    invariant(bytes.length <= MOST_PAYLOAD, 'a record fits its limit');
    if (this.#state.kind === 'closed') return Promise.resolve({ kind: 'not recorded', reason: 'closed' });
    if (this.#state.kind === 'stopped') {
      this.#miss({ fromMs: arrivalMs, toMs: arrivalMs, records: 1, bytes: bytes.length });
      return Promise.resolve({ kind: 'not recorded', reason: this.#state.reason });
    }
    if (this.#waiting.length > 0 && this.#waitingBytes + bytes.length > MOST_WAITING_BYTES) {
      this.#miss({ fromMs: arrivalMs, toMs: arrivalMs, records: 1, bytes: bytes.length });
      return Promise.resolve({ kind: 'not recorded', reason: 'too much waits' });
    }
    this.#waitingBytes += bytes.length;
    return new Promise((done) => {
      this.#waiting.push({ kind, bytes, arrivalMs, done });
      this.#work();
    });
  }

  /**
   * Tries to go on after a stop: the file is opened again, its end checked, and a mark written that says what is missing.
   * Answers whether the log is being written.
   */
  async resume(): Promise<boolean> {
    await this.#working;
    if (this.#state.kind !== 'stopped') return this.#state.kind === 'writing';
    const { reason } = this.#state;
    if (!this.#hasRoom() || !(await this.#tail.reopen())) return false;
    const now = this.#options.nowMs();
    this.#missed ??= { fromMs: now, toMs: now, records: 0, bytes: 0 };
    const { records } = this.#missed;
    this.#state = { kind: 'writing' };
    if (!(await this.#markHole(reason))) return false;
    this.#options.report(`recording resumed: ${records} records are missing`);
    return true;
  }

  /** What waits is written first. Resolves when all is settled; the log takes nothing more. */
  async close(): Promise<void> {
    if (this.#state.kind === 'closed') return;
    await this.#working;
    this.#state = { kind: 'closed' };
    try {
      await this.#tail.close();
    } catch (error) {
      this.#options.report(lineOf(error));
    }
  }

  #miss(more: Missed): void {
    const missed = this.#missed ?? { ...more, records: 0, bytes: 0 };
    this.#missed = {
      fromMs: Math.min(missed.fromMs, more.fromMs),
      toMs: Math.max(missed.toMs, more.toMs),
      records: missed.records + more.records,
      bytes: missed.bytes + more.bytes,
    };
  }

  /** Writes down what is missing so far; what cannot be written down stays to be. */
  async #markHole(reason: HoleMark['reason']): Promise<boolean> {
    const missed = this.#missed!;
    this.#missed = null;
    const mark: HoleMark = { mark: 'hole', reason, ...missed };
    const bytes = Buffer.from(JSON.stringify(mark));
    const appended = await new Promise<Appended>((done) => {
      this.#waiting.push({ kind: 'mark', bytes, arrivalMs: this.#options.nowMs(), done });
      this.#waitingBytes += bytes.length;
      this.#work();
    });
    if (appended.kind === 'recorded') return true;
    this.#miss(missed);
    return false;
  }

  #work(): void {
    this.#working ??= this.#drain();
  }

  async #drain(): Promise<void> {
    // What is appended in one go is committed in one go.
    await null;
    while (this.#waiting.length > 0) {
      const batch = this.#takeBatch();
      const places = this.#state.kind === 'writing' ? await this.#commit(batch) : null;
      for (const [i, waiting] of batch.entries()) {
        const placed = places?.[i];
        if (placed) waiting.done({ kind: 'recorded', ...placed });
        else this.#refuse(waiting);
      }
      if (this.#waiting.length === 0 && this.#missed && this.#state.kind === 'writing') {
        void this.#markHole('too much waits');
      }
    }
    // In the same turn as the last look at what waits: nothing can come in between.
    this.#working = null;
  }

  #refuse({ kind, bytes, arrivalMs, done }: Waiting): void {
    const reason = this.#state.kind === 'stopped' ? this.#state.reason : 'closed';
    // A hole mark that cannot be written is no loss of the rig's.
    if (kind !== 'mark') this.#miss({ fromMs: arrivalMs, toMs: arrivalMs, records: 1, bytes: bytes.length });
    done({ kind: 'not recorded', reason });
  }

  #takeBatch(): Waiting[] {
    let bytes = 0;
    let count = 0;
    while (count < this.#waiting.length && (count === 0 || bytes < COMMIT_BYTES)) {
      bytes += this.#waiting[count]!.bytes.length;
      count++;
    }
    this.#waitingBytes -= bytes;
    if (count === this.#waiting.length) {
      const all = this.#waiting;
      this.#waiting = [];
      return all;
    }
    return this.#waiting.splice(0, count);
  }

  /** Answers where the records lie, or null and the log is stopped. */
  async #commit(batch: readonly Waiting[]): Promise<Place[] | null> {
    for (let tried = 1; ; tried++) {
      try {
        return await this.#tail.write(batch);
      } catch (error) {
        if (!(error instanceof DiskError)) throw error;
        const full = error.trouble === 'full';
        const mended = await this.#tail.reopen();
        if (full || !mended || tried === TRIES) {
          this.#stop(full ? 'disk full' : 'disk failed', error.message);
          return null;
        }
        this.#options.report(`${error.message}; the file was opened again, try ${tried + 1} of ${TRIES}`);
      }
    }
  }

  #stop(reason: StopReason, line: string): void {
    this.#state = { kind: 'stopped', reason, line };
    this.#options.report(`recording stopped: ${reason}; ${line}`);
  }

  #hasRoom(): boolean {
    try {
      return this.#options.disk.space(this.#options.folder).freeBytes >= RESUME_BYTES;
    } catch (error) {
      this.#options.report(lineOf(error));
      return false;
    }
  }
}
