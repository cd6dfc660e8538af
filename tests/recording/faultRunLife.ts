/** One life of the recording service on the simulated disk, from its start to its crash or its close. */

import type { SourceHandlers } from '../../ingest/source.ts';
import { createWitsReader } from '../../ingest/wits/witsReader.ts';
import { RunLibrary } from '../../server/keep/runLibrary.ts';
import { LiveRun } from '../../server/live/liveRun.ts';
import type { KeptSource } from '../../server/recording/keptSource.ts';
import {
  beginRecording,
  type OpenedRecording,
  type OpenRecordingOptions,
  type PlanWithText,
  resumeRecording,
} from '../../server/recording/openRecording.ts';
import type { Ticket } from '../../server/recording/ticket.ts';
import type { SimDisk } from '../keep/simDisk.ts';
import { ManualClock } from '../support/manualClock.ts';
import { faultRunDisk } from './faultRunDisk.ts';

const SOURCE: KeptSource = { kind: 'source', name: 'rig', format: 'wits0', arrival: 'clock', tag: 'offer' };
const QUEUE_BYTES = 256 * 1024;
/** The same in every run of a seed: it stands in the log. */
const PID = 4711;
/** Small: a run goes through several segments. */
const SIZES = { segmentBytes: 60_000, roomBytes: 5000 } as const;
const MOST_TURNS = 20_000;

/** The clock of the machine: it is set, too. */
export class SteppingClock extends ManualClock {
  #stepMs = 0;
  override nowMs(): number {
    return super.nowMs() + this.#stepMs;
  }
  step(ms: number): void {
    this.#stepMs += ms;
  }
}

export interface LifeOptions {
  readonly sim: SimDisk;
  readonly data: string;
  /** Null: a new run. */
  readonly id: string | null;
  readonly plan: PlanWithText;
  readonly nowMs: number;
  readonly keepEverySamples: number;
  readonly report: (line: string) => void;
}

export const turn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

export class Life {
  readonly live: LiveRun;
  readonly opened: OpenedRecording;
  readonly clock: SteppingClock;
  readonly #library: RunLibrary;
  readonly #tickets: Ticket[] = [];
  #handlers: SourceHandlers | undefined;
  #bytes = 0;

  private constructor(library: RunLibrary, opened: OpenedRecording, clock: SteppingClock) {
    this.#library = library;
    this.opened = opened;
    this.clock = clock;
    const { recorder } = opened.parts;
    const given = recorder.bytes.bind(recorder);
    recorder.bytes = (chunk, arrivalMs) => {
      const ticket = given(chunk, arrivalMs);
      this.#tickets.push(ticket);
      return ticket;
    };
    const { plan, job } = opened.plan;
    this.live = new LiveRun({
      name: 'a run',
      plan,
      job,
      rate: 1,
      clock,
      source: {
        name: 'rig',
        open: async (handlers) => {
          this.#handlers = handlers;
        },
        close: async () => {},
      },
      createReader: createWitsReader,
      queueLimitBytes: QUEUE_BYTES,
      traceRoom: 'growing',
      recording: opened.parts,
      earlierBytes: opened.earlierBytes,
    });
  }

  /** @throws Fault `cannot write`: then nothing of it runs any more */
  static async open({ sim, data, id, plan, nowMs, keepEverySamples, report }: LifeOptions): Promise<Life> {
    const clock = new SteppingClock(nowMs);
    const disk = faultRunDisk(sim);
    const library = new RunLibrary(data, { nowMs: () => clock.nowMs(), report, disk, pid: PID, sizes: SIZES });
    const createReader = createWitsReader;
    const options: OpenRecordingOptions = {
      library,
      data,
      source: SOURCE,
      createReader,
      clock,
      report,
      disk,
      keepEverySamples,
    };
    try {
      const opened =
        id === null ? await beginRecording(options, 'a run', plan) : await resumeRecording(options, id, plan);
      const life = new Life(library, opened, clock);
      await life.live.comeBack();
      await life.live.start();
      life.#bytes = life.live.ingest().bytes;
      return life;
    } catch (error) {
      await library.end();
      throw error;
    }
  }

  send(bytes: Uint8Array, arrivalMs: number): Ticket {
    this.#bytes += bytes.length;
    void this.#handlers!.bytes(bytes, arrivalMs);
    return this.#tickets.at(-1)!;
  }

  /** Resolves when all that was sent has been worked in, and what becomes of it on the disk is known. */
  async settled(): Promise<void> {
    for (let turns = 0; this.live.ingest().bytes < this.#bytes; turns++) {
      if (turns > MOST_TURNS) throw new Error('what was sent is never worked in');
      await turn();
    }
    await Promise.all(this.#tickets.map(({ settled }) => settled));
    await turn();
  }

  /** The log takes nothing now. */
  get stopped(): boolean {
    return [...this.#library.recordings].some(({ state }) => state.kind === 'stopped');
  }

  /** Something that came in this life is not in the log. */
  get lost(): boolean {
    return this.#tickets.some(({ state }) => state.kind === 'lost');
  }

  record(): string {
    return JSON.stringify(this.live.record());
  }

  /** After a crash too: then nothing of it reaches the disk. */
  async end(): Promise<void> {
    await this.live.close();
    await this.#library.end();
  }
}
