/** Runs of the library that somebody looks at, worked through once and held; the one not looked at for longest makes room. */
import type { Clock } from '../../ingest/clock.ts';
import type { RunLibrary } from '../keep/runLibrary.ts';
import type { LiveRun } from '../live/liveRun.ts';
import { openKeptLive } from './keptLive.ts';

/** A run of 72 h takes about 100 MB. */
export const MOST_OPENED = 3;

interface Opened {
  /** The last record that it knows: a run that has grown since then is worked through again. */
  number: number;
  readonly live: Promise<LiveRun>;
}

export interface OpenedRunsOptions {
  readonly library: RunLibrary;
  readonly clock: Clock;
  /** Told what a run was found to be. */
  readonly read: (id: string, live: LiveRun) => void;
}

export class OpenedRuns {
  readonly #options: OpenedRunsOptions;
  /** In the order in which they were asked for, the last one last. */
  readonly #opened = new Map<string, Opened>();
  #last: Promise<unknown> = Promise.resolve();

  constructor(options: OpenedRunsOptions) {
    this.#options = options;
  }

  /** @throws Fault when the run cannot be read */
  async open(id: string): Promise<LiveRun> {
    const number = this.#lastNumber(id);
    const held = this.#opened.get(id);
    if (held && held.number === number) {
      this.#opened.delete(id);
      this.#opened.set(id, held);
      return held.live;
    }
    await this.forget(id);
    const { library, clock, read } = this.#options;
    // One at a time: many that are asked for at once take no more memory than a few.
    const live: Promise<LiveRun> = this.#last.then(() => openKeptLive(library, id, clock, () => this.#grew(id, live)));
    this.#last = live.catch(() => undefined);
    this.#opened.set(id, { number, live });
    this.#makeRoom();
    try {
      const found = await live;
      read(id, found);
      return found;
    } catch (error) {
      if (this.#opened.get(id)?.live === live) this.#opened.delete(id);
      throw error;
    }
  }

  /** By what it took in itself. */
  #grew(id: string, live: Promise<LiveRun>): void {
    const held = this.#opened.get(id);
    if (held?.live !== live) return;
    held.number = this.#lastNumber(id);
    void live.then((run) => this.#options.read(id, run));
  }

  async forget(id: string): Promise<void> {
    const held = this.#opened.get(id);
    this.#opened.delete(id);
    await held?.live.then(
      (live) => live.close(),
      () => undefined,
    );
  }

  async close(): Promise<void> {
    await Promise.all([...this.#opened.keys()].map((id) => this.forget(id)));
  }

  #lastNumber(id: string): number {
    const run = this.#options.library.read(id);
    try {
      return run.head()?.number ?? 0;
    } finally {
      run.close();
    }
  }

  #makeRoom(): void {
    const most = [...this.#opened.keys()].slice(0, Math.max(0, this.#opened.size - MOST_OPENED));
    for (const id of most) void this.forget(id);
  }
}
