/**
 * Reports of a run that is being worked: its samples so far are counted again beside it, in turns, so that neither the runner nor
 * the pages wait. What has been counted stays, and goes on with the next request.
 */
import type { SourceCounts } from '../../src/record/record.ts';
import { createSampleColumns } from '../../src/replay/sampleColumns.ts';
import { decodeSamples, encodeSamples } from '../../src/replay/sampleWire.ts';
import { type Facts, factsOf } from '../../src/report/facts.ts';
import type { ReportExtras, ReportInput } from '../../src/report/reportInput.ts';
import { startWorking, type WorkedRun, workOn } from '../../src/report/workedRun.ts';
import type { UnitSystem } from '../../src/units.ts';
import { inTurns } from '../keep/inTurns.ts';
import type { LiveRun } from '../live/liveRun.ts';
import { makeReport, reportInput } from './makeReport.ts';
import { UnderFirstPlan } from './underFirstPlan.ts';

/** Requests that wait for one another; one more is refused. */
const MOST_WAITING = 16;

/** Why there is no report: in words, and the status that says it. */
export class NoReport extends Error {
  readonly code: 404 | 409 | 503;
  constructor(code: NoReport['code'], why: string) {
    super(why);
    this.code = code;
  }
}

type Live = Pick<LiveRun, 'course' | 'sampleLog' | 'run'>;

export class LiveReports {
  readonly #live: Live;
  readonly #extras: () => ReportExtras | Promise<ReportExtras>;
  readonly #samples = createSampleColumns();
  readonly #underFirstPlan = new UnderFirstPlan();
  #worked: WorkedRun | null = null;
  #source: SourceCounts = { frames: 0, rejected: 0, reasons: {} };
  #last: Promise<unknown> = Promise.resolve();
  #waiting = 0;

  constructor(live: Live, extras: () => ReportExtras | Promise<ReportExtras> = () => ({})) {
    this.#live = live;
    this.#extras = extras;
  }

  /** The whole report of the run so far. @param more what is found out only for a whole report @throws NoReport */
  pdf(
    units: UnitSystem | undefined,
    linkBase: string,
    more: () => Promise<ReportExtras> = async () => ({}),
  ): Promise<Uint8Array> {
    return this.#alone(async () => {
      const input = { ...(await this.#input(units)), ...(await more()) };
      const underFirstPlan = await this.#underFirstPlan.beside(input.worked, input.source, input.units);
      return makeReport({ ...input, underFirstPlan }, { linkBase });
    });
  }

  /** What is to be drawn of the run so far. @throws NoReport */
  facts<T>(units: UnitSystem | undefined, draw: (facts: Facts) => Promise<T>): Promise<T> {
    return this.#alone(async () => draw(factsOf(await this.#input(units))));
  }

  /** One at a time, in order. */
  #alone<T>(make: () => Promise<T>): Promise<T> {
    if (this.#waiting >= MOST_WAITING) {
      return Promise.reject(new NoReport(503, 'too many reports are being made: ask again in a while'));
    }
    this.#waiting += 1;
    const made = this.#last.then(make, make).finally(() => {
      this.#waiting -= 1;
    });
    this.#last = made;
    return made;
  }

  async #input(units: UnitSystem | undefined): Promise<ReportInput> {
    await this.#catchUp();
    const worked = this.#worked;
    if (!worked || worked.position.run.samples === 0) throw new NoReport(404, 'no sample has come yet');
    const input = reportInput({ worked, source: this.#source, runName: this.#live.run, units });
    return { ...input, ...(await this.#extras()) };
  }

  async #catchUp(): Promise<void> {
    const log = await this.#live.sampleLog();
    if (typeof log === 'string') throw new NoReport(409, log);
    // Samples and entries of one moment: what comes while they are counted belongs to the next report.
    const { plan, tag, entries, source } = this.#live.course();
    const decoded = decodeSamples(encodeSamples(log, this.#samples.rows), this.#samples);
    if (decoded.kind === 'bad') throw new Error(`the samples of the run: ${decoded.reason}`);
    this.#source = source;
    const course = { plan, tag, depthOffsetM: 0, samples: this.#samples, entries: [...entries] };
    this.#worked ??= startWorking(course);
    await inTurns(workOn(this.#worked, course));
  }
}
