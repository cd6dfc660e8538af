/**
 * What a recorded run is counted from, read again from its bytes: for pages that put it beside another one. The last few are
 * kept, packed, since a page asks for the course and then for the samples.
 */
import { createRecognisedReader } from '../../ingest/recognisedReader.ts';
import { Fault } from '../../src/fault.ts';
import { createSampleLog, logSample, type SampleLog } from '../../src/replay/sampleWire.ts';
import type { RunLibrary } from '../keep/runLibrary.ts';
import type { RunReader } from '../keep/runReader.ts';
import type { LiveCourse } from '../live/liveRunOptions.ts';
import { READERS } from '../readers.ts';
import { sourceCounts } from '../sourceCounts.ts';
import { keptBytes, keptJournal, keptPlan, keptSource } from './keptRun.ts';

/** A long run is read in turns of so long, ms, so that the live one goes on meanwhile. */
const TURN_MS = 8;
/** Some 5 MB each. */
const COURSES_KEPT = 3;

export interface KeptCourse {
  readonly course: LiveCourse;
  readonly samples: SampleLog;
}

/** @throws Fault `nothing usable`, `bad plan`, `file unreadable` */
export async function readKeptCourse(run: RunReader): Promise<KeptCourse> {
  const { id } = run.info();
  const { plan, job } = keptPlan(run);
  const source = keptSource(run);
  if (!source) throw new Fault('nothing usable', `run ${id}: found no source, expected one`);
  const { pollPayload, format, arrival, tag } = source;
  const samples = createSampleLog();
  const make = (as: keyof typeof READERS) =>
    READERS[as](
      job.stream,
      (sample) => void logSample(samples, sample),
      pollPayload === undefined ? {} : { pollPayload },
    );
  const reader = format === null ? createRecognisedReader(make) : make(format);
  let untilMs = performance.now() + TURN_MS;
  for (const kept of keptBytes(run, arrival)) {
    reader.push(kept.bytes, kept.arrivalMs);
    if (performance.now() < untilMs) continue;
    await new Promise((resolve) => setImmediate(resolve));
    untilMs = performance.now() + TURN_MS;
  }
  reader.end();
  return { course: { run: id, plan, tag, entries: keptJournal(run), source: sourceCounts(reader.counts) }, samples };
}

export class KeptCourses {
  readonly #library: RunLibrary;
  /** By id and how far the run had come. */
  readonly #courses = new Map<string, Promise<KeptCourse>>();

  constructor(library: RunLibrary) {
    this.#library = library;
  }

  /** @param id of a run of the library @throws Fault */
  async of(id: string): Promise<KeptCourse> {
    const run = this.#library.read(id);
    const key = `${id} ${run.head()?.number ?? 0}`;
    const known = this.#courses.get(key);
    if (known) {
      run.close();
      return known;
    }
    const reading = readKeptCourse(run).finally(() => run.close());
    this.#courses.set(key, reading);
    for (const oldest of this.#courses.keys()) {
      if (this.#courses.size <= COURSES_KEPT) break;
      this.#courses.delete(oldest);
    }
    // One that cannot be read may be whole the next time.
    void reading.catch(() => this.#courses.delete(key));
    return reading;
  }
}
