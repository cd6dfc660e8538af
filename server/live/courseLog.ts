/**
 * What a live run is counted from, kept so that a page can count it again: its samples, packed, and what people did. A run
 * that came back from a kept state has worked its first samples before: they are read again from what was recorded, when
 * somebody asks for them.
 */
import type { StreamReader } from '../../ingest/streamReader.ts';
import type { Sample } from '../../src/channels.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import type { PipelineInput } from '../../src/pipeline/run.ts';
import { createSampleLog, logSample, type SampleLog } from '../../src/replay/sampleWire.ts';

/** A long run is read again in turns of so long, ms, so that the live one goes on meanwhile. */
const TURN_MS = 8;

export interface EarlierOptions {
  /** Everything that was recorded, from its first byte; left out: nothing was. */
  readonly bytes?: (() => Iterable<{ readonly bytes: Uint8Array; readonly arrivalMs: number }>) | undefined;
  readonly createReader: (sink: (sample: Sample) => void) => StreamReader;
}

export class CourseLog {
  readonly entries: JournalEntry[];
  readonly #log: SampleLog = createSampleLog();
  readonly #earlierRows: number;
  readonly #earlier: EarlierOptions;
  #whole: Promise<SampleLog | string> | undefined;
  /** The log of a run that came back, once it is whole; samples since then are added to both. */
  #joined: SampleLog | undefined;

  /** @param earlierRows samples that were worked before @param entries that were worked before */
  constructor(earlierRows: number, entries: readonly JournalEntry[], earlier: EarlierOptions) {
    this.#earlierRows = earlierRows;
    this.entries = [...entries];
    this.#earlier = earlier;
  }

  take(input: PipelineInput): void {
    if (input.kind === 'journal') {
      this.entries.push(input.entry);
      return;
    }
    logSample(this.#log, input.sample);
    if (this.#joined) logSample(this.#joined, input.sample);
  }

  /** All samples so far; a line that says why not where they are not at hand. */
  async whole(): Promise<SampleLog | string> {
    if (this.#earlierRows === 0) return this.#log;
    this.#whole ??= this.#readAgain();
    return this.#whole;
  }

  async #readAgain(): Promise<SampleLog | string> {
    const { bytes, createReader } = this.#earlier;
    if (!bytes) return 'the samples before the restart: found none that were recorded, expected a data folder';
    const joined = createSampleLog();
    const reader = createReader((sample) => {
      if (joined.rows < this.#earlierRows + this.#log.rows) logSample(joined, sample);
    });
    let untilMs = performance.now() + TURN_MS;
    for (const chunk of bytes()) {
      reader.push(chunk.bytes, chunk.arrivalMs);
      if (performance.now() < untilMs) continue;
      await new Promise((resolve) => setImmediate(resolve));
      untilMs = performance.now() + TURN_MS;
    }
    if (joined.rows !== this.#earlierRows + this.#log.rows) {
      this.#whole = undefined;
      return `the samples of the run: found ${joined.rows} recorded, expected ${this.#earlierRows + this.#log.rows}`;
    }
    this.#joined = joined;
    return joined;
  }
}
