/**
 * Begins, ends and takes up the runs that are recorded from the one source of the service. One thing is done at a time.
 *
 *   recording ──close──▶ closed ──reopen──▶ recording
 *       └──start a new one, reopen another: the one before is closed──┘
 *
 * The next run is opened before the one before is let go: what cannot be begun leaves everything as it was.
 */
import { Fault } from '../../src/fault.ts';
import { compileJob } from '../../src/plan/job.ts';
import type { Plan } from '../../src/plan/planSchema.ts';
import { LiveRun } from '../live/liveRun.ts';
import type { LiveRunOptions } from '../live/liveRunOptions.ts';
import type { PresentRun } from '../live/presentRun.ts';
import { keptSource } from '../recording/keptRun.ts';
import {
  beginRecording,
  mustBeAlike,
  type OpenedRecording,
  type OpenRecordingOptions,
  resumeRecording,
} from '../recording/openRecording.ts';
import { runLabel } from './runLabel.ts';
import type { SourceRelay } from './sourceRelay.ts';

export interface RecordingDeskOptions {
  readonly opening: OpenRecordingOptions;
  readonly present: PresentRun;
  readonly relay: SourceRelay;
  /** Of the run that is recorded when the service starts. */
  readonly id: string;
  /** Told when a run is no longer what it was: what is kept of it beside the log is of the past. */
  readonly changed: (id: string) => void;
  readonly run: Pick<LiveRunOptions, 'rate' | 'clock' | 'createReader'> &
    Partial<Pick<LiveRunOptions, 'queueLimitBytes' | 'traceRoom'>>;
}

/** Characters of a run's name in what the pages know it by. */
const NAME_SHOWN = 60;

export class RecordingDesk {
  readonly #options: RecordingDeskOptions;
  #id: string;
  #standing: 'recording' | 'closed' = 'recording';
  #last: Promise<unknown> = Promise.resolve();

  constructor(options: RecordingDeskOptions) {
    this.#options = options;
    this.#id = options.id;
  }

  /** Id of the run that the live screen shows, recorded or closed. */
  get presentId(): string {
    return this.#id;
  }

  /** A new run from now on; the one before is closed. @param plan left out: the one in force @throws Fault */
  start(name: string, plan?: Plan): Promise<string> {
    return this.#inTurn(async () => {
      this.#mustBeLive();
      const { opening, present } = this.#options;
      const its = plan ?? present.live.plan;
      const read = { plan: its, job: compileJob(its), warnings: [], text: JSON.stringify(its) };
      await this.#change(await beginRecording(opening, name, read));
      return this.#id;
    });
  }

  /** Goes on recording a run that was closed; the present one is closed. @throws Fault */
  reopen(id: string): Promise<string> {
    return this.#inTurn(async () => {
      this.#mustBeLive();
      if (id === this.#id && this.#standing === 'recording')
        throw new Fault('bad option', `run ${id}: found it open already, expected a closed one`);
      const { opening } = this.#options;
      this.#mustBeTakenUp(id);
      try {
        await this.#change(await resumeRecording(opening, id));
      } catch (error) {
        await opening.library.close(id);
        throw error;
      }
      return this.#id;
    });
  }

  /** The recording ends, and what was seen stays to be looked at. False: it is not the present run. @throws Fault */
  close(id: string): Promise<boolean> {
    return this.#inTurn(async () => {
      if (id !== this.#id) return false;
      if (this.#standing === 'closed') return true;
      const { opening, present } = this.#options;
      await present.live.closeRun('the run was closed');
      this.#standing = 'closed';
      await opening.library.close(id);
      this.#options.changed(id);
      return true;
    });
  }

  renamed(id: string, name: string): void {
    if (id === this.#id) this.#options.present.live.rename(name);
  }

  /** Before anything is written into it: what is refused stays as it is. */
  #mustBeTakenUp(id: string): void {
    const { library, source } = this.#options.opening;
    const run = library.read(id);
    try {
      const before = keptSource(run);
      if (before) mustBeAlike(runLabel(id, run.info().name), before, source);
    } finally {
      run.close();
    }
  }

  /** Bytes of a recorded stream have no now: a run that began in its midst could not be taken up again. */
  #mustBeLive(): void {
    const { source } = this.#options.opening;
    if (source.arrival === 'clock') return;
    throw new Fault('bad option', `the source ${source.name}: found a recorded stream, expected a rig to record from`);
  }

  async #change(opened: OpenedRecording): Promise<void> {
    const { opening, present, relay, run, changed } = this.#options;
    const before = { id: this.#id, live: present.live };
    const { library, clock } = opening;
    const started = new Date(clock.nowMs()).toISOString();
    const next = new LiveRun({
      ...run,
      ...opened.plan,
      recording: opened.parts,
      earlierBytes: opened.earlierBytes,
      name: `${opened.name.slice(0, NAME_SHOWN)} (${opened.id}), ${started}`,
      source: relay.tap(),
    });
    try {
      await next.comeBack();
      await next.start();
    } catch (error) {
      await next.close();
      await library.close(opened.id);
      throw error;
    }
    this.#id = opened.id;
    this.#standing = 'recording';
    present.put(next);
    await before.live.close();
    if (before.id !== opened.id) await library.close(before.id);
    changed(before.id);
    changed(opened.id);
  }

  async #inTurn<T>(work: () => Promise<T>): Promise<T> {
    const mine = this.#last.then(work, work);
    this.#last = mine.catch(() => undefined);
    return mine;
  }
}
