/**
 * What a live run is counted from, kept so that a page can count it again: its samples, packed, and what people did. The
 * room for them is made at once and bounded, as that of the traces is. What a restart worked before, and a run that has
 * outgrown the room, is read again from what was recorded when somebody asks for it.
 */
import type { StreamReader } from '../../ingest/streamReader.ts';
import type { Sample } from '../../src/channels.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import type { PipelineInput } from '../../src/pipeline/run.ts';
import { MOST_ROWS } from '../../src/replay/sampleColumns.ts';
import { createSampleLog, type LogRoom, logSample, type SampleLog } from '../../src/replay/sampleWire.ts';
import { TRACE_LIMITS } from '../../src/traces/traceStore.ts';

/** A long run is read again in turns of so long, ms, so that the live one goes on meanwhile. */
const TURN_MS = 8;

export interface EarlierOptions {
  /** Everything that was recorded, from its first byte; left out: nothing was. */
  readonly bytes?: (() => Iterable<{ readonly bytes: Uint8Array; readonly arrivalMs: number }>) | undefined;
  readonly createReader: (sink: (sample: Sample) => void) => StreamReader;
  /** See `SampleLog`. */
  readonly room: LogRoom;
  /** Samples that are held; left out: as many as the traces hold rows. */
  readonly mostHeld?: number;
}

export class CourseLog {
  readonly entries: JournalEntry[];
  readonly #earlier: EarlierOptions;
  readonly #mostHeld: number;
  #log: SampleLog;
  /** Samples of the run before the first one in the log, and in all. */
  #before: number;
  #rows: number;
  #reading: Promise<SampleLog | string> | undefined;

  /** @param earlierRows samples that were worked before @param entries that were worked before */
  constructor(earlierRows: number, entries: readonly JournalEntry[], earlier: EarlierOptions) {
    this.entries = [...entries];
    this.#earlier = earlier;
    this.#mostHeld = earlier.mostHeld ?? TRACE_LIMITS.rows;
    this.#log = createSampleLog(this.#mostHeld, earlier.room);
    this.#before = earlierRows;
    this.#rows = earlierRows;
  }

  take(input: PipelineInput): void {
    if (input.kind === 'journal') {
      this.entries.push(input.entry);
      return;
    }
    this.#rows += 1;
    logSample(this.#log, input.sample);
  }

  /** All samples so far; a line that says why not where they are not at hand. */
  async whole(): Promise<SampleLog | string> {
    if (this.#isWhole()) return this.#log;
    this.#reading ??= this.#readAgain().finally(() => {
      this.#reading = undefined;
    });
    return this.#reading;
  }

  /** Its first sample is there, and its last: a full log takes no more. */
  #isWhole(): boolean {
    return this.#before === 0 && this.#log.rows === this.#rows;
  }

  async #readAgain(): Promise<SampleLog | string> {
    const { bytes, createReader } = this.#earlier;
    if (this.#rows > MOST_ROWS) return `the samples of the run: found ${this.#rows}, expected at most ${MOST_ROWS}`;
    if (!bytes) return this.#before > 0 ? NOT_RECORDED : this.#outgrown();
    const joined = createSampleLog();
    const reader = createReader((sample) => {
      if (joined.rows < this.#rows) logSample(joined, sample);
    });
    let untilMs = performance.now() + TURN_MS;
    for (const chunk of bytes()) {
      reader.push(chunk.bytes, chunk.arrivalMs);
      if (performance.now() < untilMs) continue;
      await new Promise((resolve) => setImmediate(resolve));
      untilMs = performance.now() + TURN_MS;
    }
    if (joined.rows !== this.#rows) {
      return `the samples of the run: found ${joined.rows} recorded, expected ${this.#rows}`;
    }
    // Whoever looks back once does so again: from here on all of it is held, up to the most that a page takes.
    this.#log = joined;
    this.#before = 0;
    return joined;
  }

  #outgrown(): string {
    const held = `the ${this.#mostHeld} samples that are held without a data folder`;
    return `the samples of the run: found more than ${held} (${this.#mostHeld / 3600} h at 1 Hz); with --data the rest is on the disk`;
  }
}

const NOT_RECORDED = 'the samples before the restart: found none that were recorded, expected a data folder';
