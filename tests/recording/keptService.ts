/** A live run on a data folder, in this process, fed chunk by chunk by the test. */
import { cpSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Clock, systemClock } from '../../ingest/clock.ts';
import type { Source, SourceHandlers } from '../../ingest/source.ts';
import type { Disk } from '../../server/keep/disk.ts';
import { RunLibrary } from '../../server/keep/runLibrary.ts';
import { LiveRun } from '../../server/live/liveRun.ts';
import { readPlan } from '../../server/plan/readPlan.ts';
import { READERS } from '../../server/readers.ts';
import type { KeptSource } from '../../server/recording/keptSource.ts';
import {
  beginRecording,
  type OpenedRecording,
  type OpenRecordingOptions,
  resumeRecording,
} from '../../server/recording/openRecording.ts';
import { traceLog } from './traceLog.ts';

export const PLAN = 'replay-data/demo-plan.json';
export const STREAM = 'replay-data/demo.wits';

const SOURCE: KeptSource = { kind: 'source', name: 'rig', format: 'wits0', arrival: 'clock', tag: 'offer' };

const folders: string[] = [];
export function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'jointwise-kept-'));
  folders.push(folder);
  return folder;
}
export function removeFolders(): void {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
}

/** Of the one run in it. */
export const runFolderOf = (data: string): string => join(data, 'runs', readdirSync(join(data, 'runs'))[0]!);

/** The folder as a crash at this moment would leave it. */
export function crashImage(data: string): string {
  const image = newFolder();
  cpSync(data, image, { recursive: true });
  rmSync(join(image, 'lock'), { force: true });
  return image;
}

export class KeptService {
  readonly live: LiveRun;
  readonly opened: OpenedRecording;
  readonly library: RunLibrary;
  readonly reports: string[];
  readonly data: string;
  readonly #handlers: () => SourceHandlers;

  private constructor(
    data: string,
    live: LiveRun,
    opened: OpenedRecording,
    library: RunLibrary,
    reports: string[],
    handlers: () => SourceHandlers,
  ) {
    this.data = data;
    this.live = live;
    this.opened = opened;
    this.library = library;
    this.reports = reports;
    this.#handlers = handlers;
  }

  /** A new run, or the newest that is there. */
  static async open(
    data: string,
    { clock = systemClock, ...more }: { disk?: Disk; clock?: Clock; keepEverySamples?: number } = {},
  ): Promise<KeptService> {
    const reports: string[] = [];
    const report = (line: string) => void reports.push(line);
    const library = new RunLibrary(data, {
      nowMs: () => Date.now(),
      report,
      ...(more.disk ? { disk: more.disk } : {}),
    });
    const options: OpenRecordingOptions = {
      library,
      data,
      source: SOURCE,
      createReader: READERS.wits0,
      clock,
      report,
      ...more,
    };
    const before = library.list()[0];
    const opened = before
      ? await resumeRecording(options, before.id)
      : await beginRecording(options, 'a run', await readPlan(PLAN));
    let handlers: SourceHandlers | undefined;
    const source: Source = {
      name: 'rig',
      async open(given) {
        handlers = given;
      },
      async close() {},
    };
    const { plan, job } = opened.plan;
    const live = new LiveRun({
      name: 'a run',
      plan,
      job,
      rate: 1,
      clock,
      source,
      createReader: READERS.wits0,
      recording: opened.parts,
      earlierBytes: opened.earlierBytes,
    });
    await live.comeBack();
    await live.start();
    return new KeptService(data, live, opened, library, reports, () => handlers!);
  }

  send(bytes: Uint8Array): void {
    void this.#handlers().bytes(bytes, Date.now());
  }

  /** Resolves when all that was sent has been worked in. */
  async settled(sentBytes: number): Promise<void> {
    while (this.live.ingest().bytes < sentBytes) await new Promise((resolve) => setImmediate(resolve));
  }

  traces(): string {
    return traceLog(this.live.traces);
  }

  record(): string {
    return JSON.stringify(this.live.record());
  }

  async close(): Promise<void> {
    await this.live.close();
    await this.library.end();
  }
}
