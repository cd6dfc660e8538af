/** Report and sheets of a run that is being worked, over HTTP. */
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { systemClock } from '../../ingest/clock.ts';
import { fileSource } from '../../ingest/fileSource.ts';
import { readPlan } from '../../server/plan/readPlan.ts';
import { READERS } from '../../server/readers.ts';
import { LiveReports, NoReport } from '../../server/report/liveReports.ts';
import { recordHash } from '../../server/report/recordHash.ts';
import { type Service, startService } from '../../server/service.ts';
import { createSampleLog, logSample } from '../../src/replay/sampleWire.ts';
import { rowCount } from '../../src/traces/traceStore.ts';
import { demoCourse } from '../support/demoCourse.ts';
import { readPdf } from '../support/pdfText.ts';

let service: Service;
beforeAll(async () => {
  const { plan, job } = await readPlan('replay-data/demo-plan.json');
  service = await startService({
    name: 'test run',
    plan,
    job,
    rate: 1,
    clock: systemClock,
    source: fileSource({ path: 'replay-data/demo.wits' }, systemClock),
    createReader: READERS.wits0,
    host: '127.0.0.1',
    port: 0,
    allowedOrigins: [],
  });
});
afterAll(() => service.close());

const get = (path: string): Promise<Response> => fetch(`${service.url}api/${path}`);

test('before the first sample there is none', async () => {
  for (const path of ['report.pdf', 'sheets', 'sheets/joint/S2.svg']) {
    const answer = await get(path);
    expect(answer.status).toBe(404);
    expect(await answer.json()).toEqual({ error: 'no sample has come yet' });
  }
});

const SLOW = { timeout: 90_000 };

test(
  'then: every sheet of the list, in the units asked for, and the report with the hash of the record',
  SLOW,
  async () => {
    const ended = new Promise<void>((resolve) => {
      service.live.links.subscribe(({ link }) => link === 'ended' && resolve());
    });
    await service.live.start();
    await ended;
    await vi.waitUntil(() => rowCount(service.live.traces) > 5000, { timeout: 20_000 });

    const { sheets } = (await (await get('sheets?units=field')).json()) as {
      sheets: { key: string; joint: string; verdict: string; href: string }[];
    };
    const record = service.live.record()!;
    const wanted = record.joints.filter(({ required }) => required > 0);
    expect(sheets.map(({ joint, verdict }) => [joint, verdict])).toEqual(
      wanted.map(({ name, verdict }) => [name, verdict]),
    );
    for (const { href, joint } of sheets) {
      const answer = await fetch(new URL(href, service.url));
      expect(answer.headers.get('content-type')).toContain('image/svg+xml');
      expect(answer.headers.get('content-security-policy')).toContain("default-src 'self'");
      const svg = await answer.text();
      expect(svg).toContain(`>Joint ${joint}, `);
      expect(svg).toContain('psi');
    }

    const answer = await get('report.pdf');
    expect(answer.headers.get('content-type')).toBe('application/pdf');
    const { pages } = readPdf(new Uint8Array(await answer.arrayBuffer()));
    const said = pages.flatMap(({ texts }) => texts);
    expect(said).toContain(recordHash(record));
    expect(pages.flatMap(({ links }) => links).some((link) => link.startsWith(`${service.url}#at=`))).toBe(true);
  },
);

test.each([
  ['sheets/joint/S2.svg?units=cubits', 400],
  ['report.pdf?units=', 400],
  ['sheets/joint/B1.svg', 404],
  ['sheets/joint/nobody.svg', 404],
  ['sheets/joint/S2', 404],
  ['sheets/joint/..%2F..%2Fplan.svg', 404],
  [`sheets/joint/${'x'.repeat(90)}.svg`, 404],
])('%s is answered with %i', async (path, status) => {
  expect((await get(path)).status).toBe(status);
});

test('the description of the service names them', async () => {
  const { paths } = (await (await fetch(`${service.url}openapi.json`)).json()) as { paths: Record<string, unknown> };
  expect(Object.keys(paths)).toEqual(expect.arrayContaining(['/api/report.pdf', '/api/sheets']));
});

test('what comes while reports are made is in the next one; too many at once are refused', SLOW, async () => {
  const { course, samples, source } = await demoCourse();
  const log = createSampleLog();
  const live = {
    run: 'r',
    course: () => ({ run: 'r', plan: course.plan, tag: 'offer' as const, entries: [], source }),
    sampleLog: async () => log,
  };
  const reports = new LiveReports(live);
  const rows = (): Promise<number> => reports.facts(undefined, async ({ run }) => run.samples);
  await expect(rows()).rejects.toThrow(NoReport);
  for (const sample of samples.slice(0, 3000)) logSample(log, sample);
  expect(await rows()).toBe(3000);
  for (const sample of samples.slice(3000)) logSample(log, sample);
  const asked = Array.from({ length: 20 }, () => rows());
  const answers = await Promise.allSettled(asked);
  const made = answers.filter(({ status }) => status === 'fulfilled');
  expect(made).toHaveLength(16);
  expect(made.every((answer) => answer.status === 'fulfilled' && answer.value === samples.length)).toBe(true);
  const refused = answers.find((answer) => answer.status === 'rejected');
  expect(refused?.status === 'rejected' && refused.reason).toMatchObject({ code: 503 });
  expect(await rows()).toBe(samples.length);
});
