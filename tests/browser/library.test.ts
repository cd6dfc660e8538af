/** The run library in a real browser: a recorded trip is imported, looked at as the live one is, and verified; runs are begun, closed, reopened. */
import { once } from 'node:events';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { type AddressInfo, createServer, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { expect, onTestFinished, test, vi } from 'vitest';
import { systemClock } from '../../ingest/clock.ts';
import { tcpClientSource } from '../../ingest/tcpClientSource.ts';
import { RunLibrary } from '../../server/keep/runLibrary.ts';
import { pageFolder } from '../../server/pageFolder.ts';
import { readPlan } from '../../server/plan/readPlan.ts';
import { READERS } from '../../server/readers.ts';
import { beginRecording } from '../../server/recording/openRecording.ts';
import { readThrough, takeIn } from '../../server/recording/readThrough.ts';
import { startLibrary, startService } from '../../server/service.ts';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import { plainSpaces, soon, testId, textOf, untilText, usePages } from '../support/pages.ts';
import { run } from '../support/program.ts';
import { clippedTexts } from '../support/screenChecks.ts';

const openPage = usePages();
const PLAN = 'replay-data/demo-plan.json';
const STREAM = 'replay-data/demo.wits';
const nowMs = () => systemClock.nowMs();
const report = () => {};
const HTTP = { clock: systemClock, host: '127.0.0.1', port: 0, allowedOrigins: [] } as const;
/** A browser says so itself when the live link is refused, which a library without a rig does. */
const NO_LIVE_LINK =
  /WebSocket connection to .* failed|Failed to load resource: the server responded with a status of 404/;

function dataFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'jointwise-library-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return join(folder, 'data');
}

async function libraryAlone(): Promise<{ url: string; data: string; library: RunLibrary }> {
  const data = dataFolder();
  const library = new RunLibrary(data, { nowMs, report });
  const service = await startLibrary({ ...HTTP, library, data, report, page: pageFolder() });
  onTestFinished(async () => {
    await service.close();
    await library.end();
  });
  return { url: service.url, data, library };
}

async function takenIn(library: RunLibrary, data: string, name: string): Promise<string> {
  const { text: planText, job } = await readPlan(PLAN);
  async function* chunks() {
    const bytes = readFileSync(STREAM);
    for (let at = 0; at < bytes.length; at += 50_000) yield bytes.subarray(at, at + 50_000);
  }
  const stream = { name: STREAM, chunks };
  const { format } = await readThrough(stream, job.stream, undefined, () => {});
  return takeIn(library, data, stream, { name, source: 'demo.wits', format, planText, journal: [], nowMs });
}

async function analysed(): Promise<RunRecord> {
  const { out, code, err } = await run(['analyse', '--plan', PLAN, '--in', STREAM]);
  expect([code, err]).toEqual([0, '']);
  return JSON.parse(out) as RunRecord;
}

const tableOf = (page: Page) =>
  page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>('tr[data-verdict]')].map(
      (row) => `${row.dataset.testid!.replace('joint-row-', '')} ${row.dataset.verdict}`,
    ),
  );
const verdictsOf = ({ joints }: RunRecord) => joints.map(({ name, verdict }) => `${name} ${verdict}`);
const clockMs = async (page: Page): Promise<number> => Date.parse(`2031-05-12T${await textOf(page, 'rig-clock')}Z`);
const fits = (page: Page) =>
  page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);

test('a recorded trip is imported, seen beforehand, opened, played back and verified', async () => {
  const { url } = await libraryAlone();
  const record = await analysed();
  const { page, complaints } = await openPage(url);
  await testId(page, 'run-import').click();
  await testId(page, 'import-stream').setInputFiles(STREAM);
  await testId(page, 'import-plan').setInputFiles(PLAN);
  const note = { at: record.source.to, by: 'A. Person', action: 'note', text: 'pulled out' };
  const journal = { name: 'trip.jsonl', mimeType: 'application/jsonl', buffer: Buffer.from(JSON.stringify(note)) };
  await testId(page, 'import-journal').setInputFiles(journal);
  await testId(page, 'import-read').click();
  await testId(page, 'import-preview').waitFor({ timeout: 30_000 });
  const preview = plainSpaces(await textOf(page, 'import-preview'));
  expect(preview).toContain('WITS level 0');
  expect(preview).toContain('12 joints');
  expect(preview).toContain('Journal: 1 entry.');
  expect(preview).toMatch(/0121 .* Standpipe pressure/i);
  expect(await textOf(page, 'import-not')).toMatch(/refused|not understood/);
  expect(await testId(page, 'import-name').inputValue()).toBe('demo');
  expect(await fits(page)).toBeLessThanOrEqual(0);
  await testId(page, 'import-name').fill('night trip');
  await testId(page, 'import-keep').click();
  await testId(page, 'import-open').click();
  await testId(page, 'recorded-sign').waitFor({ timeout: 30_000 });
  expect(await textOf(page, 'recorded-sign')).toContain('Recorded run, not live night trip');
  expect(await tableOf(page)).toEqual(verdictsOf(record));
  await testId(page, 'run-strip').waitFor({ timeout: 30_000 });
  expect(page.url()).toMatch(/#run=/);
  expect(await textOf(page, 'age')).toContain('recorded, not live');
  // Any instant of it, as of the live run.
  const box = (await testId(page, 'run-strip').boundingBox())!;
  await page.mouse.click(box.x + 0.4 * box.width, box.y + box.height / 2);
  const [from, to] = [Date.parse(record.source.from), Date.parse(record.source.to)];
  await soon(async () => Math.abs((await clockMs(page)) - (from + 0.4 * (to - from)))).toBeLessThan(20_000);
  expect(await tableOf(page)).not.toEqual(verdictsOf(record));
  await page.keyboard.press('l');
  await soon(() => tableOf(page)).toEqual(verdictsOf(record));
  await page.keyboard.press('p');
  await soon(() => testId(page, 'pass-line').count()).toBeGreaterThan(0);
  await page.keyboard.press('Escape');
  await soon(() => testId(page, 'pass-line').count()).toBe(0);
  // Again: from the end of the run back, here to the library.
  await page.keyboard.press('l');
  await testId(page, 'library').waitFor();
  await page.locator('[data-testid^="verify-"]').click();
  await testId(page, 'verified').waitFor({ timeout: 30_000 });
  expect(await textOf(page, 'verified')).toMatch(/^night trip: whole/);
  await soon(() => page.locator('.library-runs').textContent()).toMatch(/whole on \d{4}-/);
  expect(complaints.filter((line) => !NO_LIVE_LINK.test(line))).toEqual([]);
});

test('what cannot be used is refused in one line, and another file may be chosen', async () => {
  const { url, data } = await libraryAlone();
  const { page } = await openPage(url);
  const bad = join(data, '..', 'letter.txt');
  writeFileSync(bad, 'Dear all, this is no stream of any kind.\n'.repeat(50));
  await testId(page, 'run-import').click();
  await testId(page, 'import-stream').setInputFiles(bad);
  await testId(page, 'import-plan').setInputFiles(PLAN);
  await testId(page, 'import-read').click();
  await untilText(page, 'import-refused', /^letter\.txt: found a format that is not known, expected one of/);
  await page.getByRole('button', { name: 'Choose again' }).click();
  await testId(page, 'import-stream').setInputFiles(STREAM);
  await testId(page, 'import-plan').setInputFiles(bad);
  await testId(page, 'import-read').click();
  await untilText(page, 'import-refused', /^the plan: line 1, column 1: found "D", expected JSON$/);
});

test('what is damaged of a recorded run is named on its screen, in the list of its source, and crossed on the time bar', async () => {
  const { url, data, library } = await libraryAlone();
  const run = await takenIn(library, data, 'spoilt trip');
  const log = join(data, 'runs', run, 'raw-00001.log');
  const bytes = readFileSync(log);
  bytes[1_000_000]! ^= 4;
  writeFileSync(log, bytes);
  const { page, complaints } = await openPage(`${url}#run=${run}`);
  await testId(page, 'recorded-sign').waitFor({ timeout: 30_000 });
  expect(await textOf(page, 'left-out-sign')).toMatch(/^Damaged record \d+ left out$/);
  await testId(page, 'run-strip').waitFor({ timeout: 30_000 });
  await soon(() => testId(page, 'left-out-run').count()).toBe(1);
  for (const width of [1366, 1920]) {
    await page.setViewportSize({ width, height: width === 1366 ? 768 : 1080 });
    expect(await page.evaluate(clippedTexts)).toEqual([]);
  }
  await testId(page, 'left-out-sign').click();
  expect(await textOf(page, 'left-out')).toMatch(
    /^damaged record \d+ left out, behind \d{4}-\d\d-\d\d \d\d:\d\d:\d\d, before \d{4}-\d\d-\d\d \d\d:\d\d:\d\d$/,
  );
  expect(complaints.filter((line) => !NO_LIVE_LINK.test(line))).toEqual([]);
});

test('an address leads to a run; one that names none says so', async () => {
  const { url, data, library } = await libraryAlone();
  await takenIn(library, data, 'trip 4');
  const there = await openPage(`${url}#run=trip%204`);
  await testId(there.page, 'recorded-sign').waitFor({ timeout: 30_000 });
  expect(await tableOf(there.page)).toHaveLength(12);
  await testId(there.page, 'run-strip').waitFor({ timeout: 30_000 });
  const nowhere = await openPage(`${url}#run=trip%205`);
  await untilText(
    nowhere.page,
    'library-told',
    /Run trip 5 cannot be opened: run "trip 5": found no run of this id or name/,
  );
  // What is on its way when a page is closed would be a fault.
  for (const { bodyBytes } of [there, nowhere]) await bodyBytes();
});

interface Rig {
  readonly port: number;
  send(bytes: Uint8Array): void;
  readonly sockets: ReadonlySet<Socket>;
}
async function rig(): Promise<Rig> {
  const sockets = new Set<Socket>();
  const server = createServer((socket) => {
    sockets.add(socket);
    socket.on('error', () => {});
  }).listen(0, '127.0.0.1');
  await once(server, 'listening');
  onTestFinished(() => {
    for (const socket of sockets) socket.destroy();
    server.close();
  });
  const send = (bytes: Uint8Array) => {
    for (const socket of sockets) socket.write(bytes);
  };
  return { port: (server.address() as AddressInfo).port, send, sockets };
}

test('runs are begun, named, closed and reopened from the page while the rig sends, and a recorded one stands beside the live one', async () => {
  const data = dataFolder();
  const at = await rig();
  const library = new RunLibrary(data, { nowMs, report });
  const opening = {
    library,
    data,
    source: { kind: 'source', name: 'the rig', format: 'wits0', arrival: 'clock', tag: 'offer' },
    createReader: READERS.wits0,
    clock: systemClock,
    report,
  } as const;
  const opened = await beginRecording(opening, 'morning', await readPlan(PLAN));
  const service = await startService({
    ...HTTP,
    ...opened.plan,
    name: 'morning',
    rate: 1,
    source: tcpClientSource({ host: '127.0.0.1', port: at.port }, systemClock),
    createReader: READERS.wits0,
    recording: opened.parts,
    earlierBytes: opened.earlierBytes,
    inLibrary: { id: opened.id, opening },
    page: pageFolder(),
  });
  onTestFinished(async () => {
    await service.close();
    await library.end();
  });
  await service.live.start();
  await vi.waitUntil(() => at.sockets.size === 1, { timeout: 10_000 });
  const stream = readFileSync(STREAM);
  const cut = (from: number) => stream.indexOf('&&', from);
  at.send(stream.subarray(0, cut(100_000)));
  const old = await takenIn(library, data, 'last year');
  const { page, complaints } = await openPage(service.url);
  await untilText(page, 'rig-clock', /\d\d:\d\d:\d\d/);
  const morning = await textOf(page, 'rig-clock');
  await page.keyboard.press('r');
  await testId(page, 'run-start').click();
  await testId(page, 'run-name-field').fill('evening');
  await testId(page, 'run-name-save').click();
  await untilText(page, 'library-told', /^evening is being recorded\.$/);
  const rowOf = (name: string) => page.locator('.library-runs tbody tr', { hasText: name });
  expect(await rowOf('evening').getAttribute('data-state')).toBe('recording');
  expect(await rowOf('morning').getAttribute('data-state')).toBe('closed');
  at.send(stream.subarray(cut(100_000), cut(150_000)));
  await page.keyboard.press('r');
  await soon(() => textOf(page, 'rig-clock')).toMatch(/\d\d:\d\d:\d\d/);
  // A recorded run in its place, and back.
  await page.keyboard.press('r');
  await testId(page, `open-${old}`).click();
  await testId(page, 'recorded-sign').waitFor({ timeout: 30_000 });
  await testId(page, 'run-strip').waitFor({ timeout: 30_000 });
  expect(await tableOf(page)).toEqual(verdictsOf(await analysed()));
  await testId(page, 'leave-run').click();
  await testId(page, 'recorded-sign').waitFor({ state: 'detached' });
  await soon(() => textOf(page, 'source')).toContain('rig stream connected');
  expect(new URL(page.url()).hash).toBe('');
  // Closed, and the first one taken up again.
  await page.keyboard.press('r');
  await rowOf('evening').getByRole('button', { name: 'Close' }).click();
  await testId(page, 'confirm-close').click();
  await untilText(page, 'library-told', /^evening is closed\.$/);
  expect(await rowOf('evening').getAttribute('data-state')).toBe('closed');
  await untilText(page, 'source', /Run closed/);
  await rowOf('morning').getByRole('button', { name: 'Reopen' }).click();
  await testId(page, 'confirm-reopen').click();
  await untilText(page, 'library-told', /^morning is recorded again\.$/);
  await rowOf('morning').getByRole('button', { name: 'Name' }).click();
  await testId(page, 'run-name-field').fill('day');
  await testId(page, 'run-name-save').click();
  await untilText(page, 'library-told', /^It is called day\.$/);
  await page.keyboard.press('r');
  await soon(() => textOf(page, 'rig-clock')).toBe(morning);
  expect(complaints).toEqual([]);
});
