/** The whole demo run, played into a service with its page, and the same counted here. */
import { onTestFinished, vi } from 'vitest';
import { systemClock } from '../../ingest/clock.ts';
import { fileSource } from '../../ingest/fileSource.ts';
import { RunLibrary } from '../../server/keep/runLibrary.ts';
import { pageFolder } from '../../server/pageFolder.ts';
import { readPlan } from '../../server/plan/readPlan.ts';
import { READERS } from '../../server/readers.ts';
import type { KeptSource } from '../../server/recording/keptSource.ts';
import { beginRecording } from '../../server/recording/openRecording.ts';
import { type Service, type ServiceOptions, startService } from '../../server/service.ts';
import { rowCount } from '../../src/traces/traceStore.ts';
import { demoCourse, type ReadCourse } from './demoCourse.ts';

/** The same, recorded as a new run of a library. */
export async function recordingService(data: string): Promise<RecordedService & { readonly now: string }> {
  const report = () => {};
  const library = new RunLibrary(data, { nowMs: () => Date.now(), report });
  onTestFinished(() => library.end());
  const source: KeptSource = { kind: 'source', name: 'demo', format: 'wits0', arrival: 'none', tag: 'offer' };
  const opening = { library, data, source, createReader: READERS.wits0, clock: systemClock, report };
  const opened = await beginRecording(opening, 'the second', await readPlan('replay-data/demo-plan.json'));
  const { id, parts, earlierBytes } = opened;
  const served = await recordedService({ recording: parts, earlierBytes, inLibrary: { id, opening } });
  return { ...served, now: id };
}

export interface RecordedService {
  readonly url: string;
  readonly service: Service;
  readonly demo: ReadCourse;
}

/** Closed at the end of the test. */
export async function recordedService(more: Partial<ServiceOptions> = {}): Promise<RecordedService> {
  const service = await startService({
    ...(await readPlan('replay-data/demo-plan.json')),
    name: 'recorded',
    rate: 1,
    clock: systemClock,
    source: fileSource({ path: 'replay-data/demo.wits' }, systemClock),
    createReader: READERS.wits0,
    host: '127.0.0.1',
    port: 0,
    allowedOrigins: [],
    page: pageFolder(),
    ...more,
  });
  onTestFinished(() => service.close());
  await service.live.start();
  await vi.waitUntil(() => rowCount(service.live.traces) > 5000, { timeout: 20_000 });
  return { url: service.url, service, demo: await demoCourse() };
}
