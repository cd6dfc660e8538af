/**
 * The runs of a library side by side, while a live one goes on. A run is counted once, in short turns, and held until it
 * grows; who asks is not kept waiting: what is not counted yet is named, and is there when asked again.
 */
import type { CaliperReading } from '../../src/engineering/caliperLog.ts';
import { Fault } from '../../src/fault.ts';
import { compileJob } from '../../src/plan/job.ts';
import { holeClasses, type RunBeside, together } from '../../src/together/together.ts';
import { TOGETHER_LIMITS, type Together } from '../../src/together/togetherSchema.ts';
import { DiskError } from '../keep/disk.ts';
import type { ListedRun, RunLibrary } from '../keep/runLibrary.ts';
import type { LiveRun } from '../live/liveRun.ts';
import { findRun } from '../recording/findRun.ts';
import { runBeside } from './runBeside.ts';

/** An answer waits so long for runs that are being counted, ms. */
const WAIT_MS = 2000;
/** Others have their turn after so long, ms. */
const TURN_MS = 8;

export interface TogetherAsked {
  readonly library: RunLibrary;
  /** The run that is being recorded; null: none is. */
  readonly live: LiveRun | null;
  readonly caliper: CaliperReading | undefined;
  /** Ids or names; left out: the newest. */
  readonly runs: readonly string[] | undefined;
}

export interface TogetherAnswer {
  readonly together: Together;
  /** Ids of runs that are not counted yet. */
  readonly pending: readonly string[];
  readonly refused: readonly { readonly run: string; readonly why: string }[];
  /** Runs that found no room. */
  readonly runsLeftOut: number;
}

type Counted =
  | { readonly kind: 'run'; readonly beside: RunBeside }
  | { readonly kind: 'refused'; readonly why: string };

export class TogetherDesk {
  /** By id, with the last record that was counted; in the order in which they were asked for last. */
  readonly #counted = new Map<string, { readonly records: number; readonly counted: Counted }>();
  readonly #waiting = new Map<string, number>();
  #working: Promise<void> | undefined;
  #ends = false;

  /** @throws Fault `bad option` for a run that is not there */
  async answer({ library, live, caliper, runs: said }: TogetherAsked): Promise<TogetherAnswer> {
    const listed = library.list();
    const meant = said ? [...new Set(said.map((one) => findRun(listed, one)))] : listed;
    const wanted = meant.slice(0, TOGETHER_LIMITS.runs);
    const kept = wanted.filter(({ state }) => state !== 'recording' || live === null);
    for (const run of kept) if (!this.#known(run)) this.#waiting.set(run.id, run.records);
    await this.#work(library);
    const beside: RunBeside[] = [];
    const refused: { run: string; why: string }[] = [];
    const pending: string[] = [];
    for (const run of wanted) {
      const counted = run.state === 'recording' && live ? liveBeside(run, live, caliper) : this.#known(run);
      if (!counted) pending.push(run.id);
      else if (counted.kind === 'run') beside.push({ ...counted.beside, name: run.name || run.id });
      else refused.push({ run: run.id, why: counted.why });
    }
    return { together: together(beside), pending, refused, runsLeftOut: meant.length - wanted.length };
  }

  /** What is being counted is given up. */
  async close(): Promise<void> {
    this.#ends = true;
    this.#waiting.clear();
    await this.#working?.catch(() => {});
  }

  #known({ id, records }: ListedRun): Counted | undefined {
    const found = this.#counted.get(id);
    if (found?.records !== records) return undefined;
    this.#counted.delete(id);
    this.#counted.set(id, found);
    return found.counted;
  }

  /** Resolves when all that waits is counted, or after a while. */
  async #work(library: RunLibrary): Promise<void> {
    if (this.#waiting.size === 0) return;
    this.#working ??= this.#countAll(library).finally(() => {
      this.#working = undefined;
    });
    let timer: NodeJS.Timeout | undefined;
    const enough = new Promise<void>((resolve) => {
      timer = setTimeout(resolve, WAIT_MS);
    });
    // What goes wrong while nobody waits is met by the next who asks.
    this.#working.catch(() => {});
    await Promise.race([this.#working, enough]).finally(() => clearTimeout(timer));
  }

  async #countAll(library: RunLibrary): Promise<void> {
    for (let next = this.#next(); next; next = this.#next()) {
      const [id, records] = next;
      const counted = await this.#count(library, id);
      if (this.#ends) return;
      this.#counted.delete(id);
      this.#counted.set(id, { records, counted });
      if (this.#counted.size > TOGETHER_LIMITS.runs) this.#counted.delete(this.#counted.keys().next().value!);
    }
  }

  async #count(library: RunLibrary, id: string): Promise<Counted> {
    let untilMs = performance.now() + TURN_MS;
    const pause = async () => {
      if (performance.now() < untilMs) return;
      await new Promise((resolve) => setImmediate(resolve));
      if (this.#ends) throw new Fault('nothing usable', 'the service ends');
      untilMs = performance.now() + TURN_MS;
    };
    try {
      const run = library.read(id);
      try {
        return { kind: 'run', beside: await runBeside(run, { pause }) };
      } finally {
        run.close();
      }
    } catch (error) {
      if (error instanceof Fault || error instanceof DiskError) return { kind: 'refused', why: error.message };
      throw error;
    }
  }

  #next(): [string, number] | undefined {
    const next = this.#waiting.entries().next().value;
    if (next) this.#waiting.delete(next[0]);
    return next;
  }
}

function liveBeside({ id, name }: ListedRun, live: LiveRun, caliper: CaliperReading | undefined): Counted {
  const record = live.record();
  if (!record) return { kind: 'refused', why: 'no sample has come yet' };
  return { kind: 'run', beside: { id, name, record, holes: holeClasses(compileJob(live.plan), caliper) } };
}
