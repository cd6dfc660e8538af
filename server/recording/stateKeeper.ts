/**
 * Keeps the state of a live run beside its log every few minutes, so that a restart need not work the run out from its first
 * record. Only a cache, and never ahead of the truth: what is kept is what the log holds up to one record, and nothing is
 * kept any more once the run has worked in bytes that were not recorded.
 */
import type { Clock } from '../../ingest/clock.ts';
import type { ReaderState } from '../../ingest/readerState.ts';
import type { Run } from '../../src/pipeline/run.ts';
import type { Plan } from '../../src/plan/planSchema.ts';
import { TRACE_COLUMNS, type TraceRow } from '../../src/traces/traceColumns.ts';
import { DiskError } from '../keep/disk.ts';
import type { Place } from '../keep/logTail.ts';
import { CHUNK_ROWS, type SampleCacheWriter } from '../keep/sampleChunks.ts';
import type { SnapshotStore } from '../keep/snapshotStore.ts';
import type { Ticket } from './ticket.ts';

/** A restart works in what came since: at most so long, */
export const KEEP_EVERY_MS = 5 * 60_000;
/** or so many samples of a stream that is played fast, which takes half a second. */
export const KEEP_EVERY_SAMPLES = 10_000;

/** All that a live run knows, as plain data. */
export interface LiveState {
  readonly run: Run;
  readonly reader: ReaderState;
  /** Bytes that were worked in: where the log gives other ones up to its place, a record has been damaged since. */
  readonly bytes: number;
  readonly plan: Plan;
}

export interface StateKeeperOptions {
  readonly states: SnapshotStore<LiveState>;
  readonly traces: SampleCacheWriter;
  /** Rows of the traces that their cache has already. */
  readonly rowsKept: number;
  readonly clock: Clock;
  readonly report: (line: string) => void;
  /** Left out: KEEP_EVERY_SAMPLES. */
  readonly everySamples?: number;
}

type Standing = 'keeping' | 'saving' | 'no longer';

export class StateKeeper {
  readonly #options: StateKeeperOptions;
  #standing: Standing = 'keeping';
  /** Rows of the run so far, and those that are not in the cache yet. */
  #seen = 0;
  #rows: TraceRow[] = [];
  #keptAtMs: number;
  #samples = 0;
  /** Chunks that were worked in and are not on the disk yet. */
  #unsettled = 0;
  #saving: Promise<void> = Promise.resolve();

  constructor(options: StateKeeperOptions) {
    this.#options = options;
    this.#keptAtMs = options.clock.nowMs();
  }

  /** Where the rows start that are told from now on. @param seen rows of the run that a restart brought back */
  startAt(seen: number): void {
    this.#seen = seen;
  }

  /** The next row of the run. */
  row(row: TraceRow): void {
    if (this.#standing === 'no longer') return;
    this.#samples++;
    if (this.#seen++ >= this.#options.rowsKept) this.#rows.push(row);
  }

  /**
   * A chunk has been worked in.
   * @param state asked for when it is due
   */
  worked(ticket: Ticket, state: () => LiveState): void {
    const settled = ticket.state;
    if (settled.kind === 'lost') this.giveUp();
    else if (settled.kind === 'waiting') this.#followUp(ticket);
    else this.workedKept(settled.place, state);
  }

  /** The same for what is on the disk. @param place of the record that it is */
  workedKept({ number, hash }: Pick<Place, 'number' | 'hash'>, state: () => LiveState): void {
    if (this.#isDue()) this.#save(number, Buffer.from(hash).toString('hex'), state());
  }

  /** What the run knows is no longer what the log holds. */
  giveUp(): void {
    this.#standing = 'no longer';
    this.#rows = [];
  }

  /** Resolves when nothing of it is being written any more. */
  async close(): Promise<void> {
    this.giveUp();
    await this.#saving;
    this.#options.traces.close();
  }

  #followUp(ticket: Ticket): void {
    this.#unsettled++;
    void ticket.settled.then(() => {
      this.#unsettled--;
      if (ticket.state.kind === 'lost') this.giveUp();
    });
  }

  #isDue(): boolean {
    if (this.#standing !== 'keeping' || this.#unsettled > 0 || this.#samples === 0) return false;
    const { everySamples = KEEP_EVERY_SAMPLES } = this.#options;
    return this.#samples >= everySamples || this.#options.clock.nowMs() - this.#keptAtMs >= KEEP_EVERY_MS;
  }

  #save(number: number, hash: string, state: LiveState): void {
    const { clock, report, states } = this.#options;
    this.#standing = 'saving';
    this.#keptAtMs = clock.nowMs();
    this.#samples = 0;
    this.#saving = this.#trying(async () => {
      this.#keepRows(number, hash);
      await states.save({ number, hash, state });
    }).then((problem) => {
      if (problem !== null) {
        report(`the state of the run is not kept any more: ${problem}`);
        this.giveUp();
      } else if (this.#standing === 'saving') this.#standing = 'keeping';
    });
  }

  async #trying(work: () => Promise<void>): Promise<string | null> {
    try {
      await work();
      return null;
    } catch (error) {
      if (error instanceof DiskError) return error.message;
      throw error;
    }
  }

  /** Before the state: a state never speaks of rows that are not kept. */
  #keepRows(lastNumber: number, hash: string): void {
    const rows = this.#rows;
    this.#rows = [];
    const at = { lastNumber, hash: Buffer.from(hash, 'hex') };
    for (let from = 0; from < rows.length; from += CHUNK_ROWS) {
      const some = rows.slice(from, from + CHUNK_ROWS);
      const column = (c: number) => Float64Array.from(some, (row) => row[c] ?? Number.NaN);
      this.#options.traces.append(
        column(0),
        TRACE_COLUMNS.slice(1).map((_, c) => column(c + 1)),
        [],
        at,
      );
    }
  }
}
