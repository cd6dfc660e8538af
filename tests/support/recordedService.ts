/** The whole demo run, played into a service with its page, and the same counted here. */
import { onTestFinished, vi } from 'vitest';
import { systemClock } from '../../ingest/clock.ts';
import { fileSource } from '../../ingest/fileSource.ts';
import { pageFolder } from '../../server/pageFolder.ts';
import { readPlan } from '../../server/plan/readPlan.ts';
import { READERS } from '../../server/readers.ts';
import { type Service, type ServiceOptions, startService } from '../../server/service.ts';
import { rowCount } from '../../src/traces/traceStore.ts';
import { demoCourse, type ReadCourse } from './demoCourse.ts';

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
