/** The run played back in a real browser: sought, stepped, played, left again, and asked what if. */
import { readdirSync, readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { expect, onTestFinished, test, vi } from 'vitest';
import { systemClock } from '../../ingest/clock.ts';
import { fileSource } from '../../ingest/fileSource.ts';
import { pageFolder } from '../../server/pageFolder.ts';
import { readPlan } from '../../server/plan/readPlan.ts';
import { READERS } from '../../server/readers.ts';
import { startService } from '../../server/service.ts';
import type { Course } from '../../src/replay/course.ts';
import { createPlayer, seek, shownOf } from '../../src/replay/player.ts';
import { rowCount } from '../../src/traces/traceStore.ts';
import { demoCourse } from '../support/demoCourse.ts';
import { startDemoJob } from '../support/demoJob.ts';
import {
  numberIn,
  PATIENCE_MS,
  plainSpaces,
  soon,
  testId,
  textOf,
  until,
  untilText,
  usePages,
} from '../support/pages.ts';

const openPage = usePages();

/** The whole demo run, recorded, with a depth that somebody put right half-way. */
const ENTRIES = [
  { at: '2031-05-12T04:50:00.001Z', by: 'night shift', action: 'set depth', tool: 'upper', depth: 2470 },
] as const;

async function recordedRun(): Promise<{ url: string; course: Course }> {
  const { plan, job } = await readPlan('replay-data/demo-plan.json');
  const service = await startService({
    name: 'recorded',
    plan,
    job,
    rate: 1,
    clock: systemClock,
    source: fileSource({ path: 'replay-data/demo.wits' }, systemClock),
    createReader: READERS.wits0,
    journal: ENTRIES,
    host: '127.0.0.1',
    port: 0,
    allowedOrigins: [],
    page: pageFolder(),
  });
  onTestFinished(() => service.close());
  await service.live.start();
  await vi.waitUntil(() => rowCount(service.live.traces) > 5000, { timeout: PATIENCE_MS });
  const { course } = await demoCourse();
  return { url: service.url, course: { ...course, entries: ENTRIES } };
}

const clockMs = async (page: Page): Promise<number> => Date.parse(`2031-05-12T${await textOf(page, 'rig-clock')}Z`);

async function openBar(page: Page): Promise<void> {
  await untilText(page, 'rig-clock', /\d\d:\d\d:\d\d/);
  await page.keyboard.press('b');
  await testId(page, 'run-strip').waitFor();
}

/** Presses on the strip at a share of its length. */
async function pressAt(page: Page, share: number): Promise<void> {
  const box = (await testId(page, 'run-strip').boundingBox())!;
  await page.mouse.click(box.x + share * box.width, box.y + box.height / 2);
}

/** What stands in the joint table: verdict and metres of each joint. */
const tableOf = (page: Page) =>
  page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>('tr[data-verdict]')].map(
      (row) => `${row.dataset.testid!.replace('joint-row-', '')} ${row.dataset.verdict}`,
    ),
  );

test('any instant of a run is shown as it was, on one screen, and one key leads back', async () => {
  const { url, course } = await recordedRun();
  const { page, complaints } = await openPage(url);
  await openBar(page);
  const live = await tableOf(page);
  const liveClock = await textOf(page, 'rig-clock');
  const player = createPlayer(course);
  for (const share of [0.2, 0.75, 0.45]) {
    await pressAt(page, share);
    await testId(page, 'replay-sign').waitFor();
    const { sourceMs, rows } = course.samples;
    const wanted = sourceMs[0]! + share * (sourceMs[rows - 1]! - sourceMs[0]!);
    await soon(async () => Math.abs((await clockMs(page)) - wanted)).toBeLessThan(15_000);
    const atMs = await clockMs(page);
    seek(player, atMs);
    const shown = shownOf(player.at);
    expect(await tableOf(page)).toEqual(
      shown.joints.map(({ index, verdict }) => `${course.plan.liner.joints[index]!.name} ${verdict}`),
    );
    expect(numberIn(await textOf(page, 'pressure'))).toBeCloseTo(shown.now!.standpipePressure!, -1);
    const beyond = () => document.documentElement.scrollHeight - document.documentElement.clientHeight;
    expect(await page.evaluate(beyond)).toBeLessThanOrEqual(0);
  }
  await page.keyboard.press('l');
  await testId(page, 'replay-sign').waitFor({ state: 'detached' });
  expect(await textOf(page, 'rig-clock')).toBe(liveClock);
  expect(await tableOf(page)).toEqual(live);
  expect(complaints).toEqual([]);
});

test('it is played, faster and slower, stepped and jumped by keys', async () => {
  const { url, course } = await recordedRun();
  const { page, complaints } = await openPage(url);
  await openBar(page);
  await testId(page, 'run-strip').focus();
  await page.keyboard.press('Home');
  await soon(() => clockMs(page)).toBe(course.samples.sourceMs[0]!);
  await page.keyboard.press('.');
  await page.keyboard.press('.');
  await soon(() => clockMs(page)).toBe(course.samples.sourceMs[2]!);
  await page.keyboard.press(',');
  await soon(() => clockMs(page)).toBe(course.samples.sourceMs[1]!);
  await testId(page, 'speed-choice').selectOption('1000');
  await testId(page, 'play').click();
  const from = await clockMs(page);
  await soon(() => clockMs(page)).toBeGreaterThan(from + 600_000);
  await testId(page, 'play').click();
  const stopped = await textOf(page, 'rig-clock');
  await page.evaluate(() => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve))));
  await soon(() => textOf(page, 'instant')).toContain((await textOf(page, 'rig-clock')).slice(0, 5));
  // It plays to the end, and stands there.
  await testId(page, 'play').click();
  await soon(() => testId(page, 'play').getAttribute('aria-label')).toBe('Play');
  await soon(() => clockMs(page)).toBe(course.samples.sourceMs[course.samples.rows - 1]!);
  expect(stopped).not.toBe('');
  // Back through the events to the first.
  const player = createPlayer(course);
  seek(player, Infinity);
  const begun = [...new Set(player.at.run.events.events.map(({ fromMs }) => fromMs))].sort((a, b) => b - a);
  for (const fromMs of begun) {
    await page.keyboard.press('[');
    await soon(() => clockMs(page)).toBe(fromMs);
  }
  expect(complaints).toEqual([]);
});

test('with what is known now the depth is right from the beginning', async () => {
  const { url } = await recordedRun();
  const { page } = await openPage(url);
  await openBar(page);
  const newest = await clockMs(page);
  await pressAt(page, 0.2);
  // The worker's answer comes after the sign: only then do the panels show the past.
  await soon(() => clockMs(page)).toBeLessThan(newest);
  const seen = await tableOf(page);
  await testId(page, 'as-known').click();
  await until(
    page,
    'the table changes',
    (before) =>
      [...document.querySelectorAll<HTMLElement>('tr[data-verdict]')]
        .map((row) => `${row.dataset.testid!.replace('joint-row-', '')} ${row.dataset.verdict}`)
        .join() !== before,
    seen.join(),
  );
  await page.keyboard.press('l');
});

test('what if: beside the original and labelled, in a link that gives the same answer', async () => {
  const { url } = await recordedRun();
  const { page, complaints } = await openPage(url);
  await untilText(page, 'rig-clock', /\d\d:\d\d/);
  const before = await tableOf(page);
  await page.keyboard.press('w');
  await testId(page, 'what-if-name').fill('half a metre & more');
  await testId(page, 'what-if-shift').fill('0.5');
  await testId(page, 'what-if-screen pressure min').fill('9500');
  await testId(page, 'what-if-count').click();
  await testId(page, 'what-if-answer').waitFor();
  const says = plainSpaces(await textOf(page, 'what-if-answer'));
  expect(says).toContain('What if: half a metre & more');
  expect(says).toContain('Not the record of the run.');
  expect(says).toContain('Whole depth shifted by +0.5');
  expect(numberIn((await textOf(page, 'what-if-lost')).replace(' m', ''))).toBeGreaterThan(5);
  const joints = await textOf(page, 'what-if-joints');
  const link = page.url();
  await page.keyboard.press('Escape');
  expect(await tableOf(page)).toEqual(before);
  const other = await openPage(link);
  await testId(other.page, 'what-if-answer').waitFor();
  expect(await textOf(other.page, 'what-if-joints')).toBe(joints);
  await testId(page, 'view-switch').click();
  expect([...complaints, ...other.complaints]).toEqual([]);
});

test('every pass over a joint lies over the others, by depth of the tool', async () => {
  const { url } = await recordedRun();
  const { page, complaints } = await openPage(url);
  await untilText(page, 'rig-clock', /\d\d:\d\d/);
  await page.keyboard.press('p');
  await testId(page, 'range-from').selectOption('S2');
  // The demo run goes over part of S2 again to repair it: pressure, rotation, torque, feed and set-down of each pass.
  const lines = async () => ({
    lines: await testId(page, 'pass-line').count(),
    passes: await page.locator('.passes-list li').count(),
    bands: await testId(page, 'recipe-band').count(),
  });
  await soon(lines).toEqual({ lines: 15, passes: 3, bands: 4 });
  // The whole liner: each of its eight joints, those of two recipes, with the windows of four readings.
  await testId(page, 'range-from').selectOption('the whole liner');
  await soon(async () => (await lines()).lines).toBeGreaterThanOrEqual(5 * 9);
  expect(await testId(page, 'recipe-band').count()).toBe(4 * 8);
  await page.keyboard.press('Escape');
  expect(complaints).toEqual([]);
});

test('while the tool runs the same screen goes back, live goes on behind it, and is there again at one key', async () => {
  const job = await startDemoJob(20, 1300);
  const { page, complaints } = await openPage(job.url);
  await job.go();
  await openBar(page);
  const newestMs = () => job.service.live.traces.sourceMs[rowCount(job.service.live.traces) - 1]!;
  const from = newestMs();
  await pressAt(page, 0.3);
  await testId(page, 'replay-sign').waitFor();
  // The worker's answer comes after the sign: only then do the panels show the past.
  await soon(() => clockMs(page)).toBeLessThan(from - 60_000);
  const still = await textOf(page, 'rig-clock');
  await soon(newestMs).toBeGreaterThan(from + 20_000);
  expect(await textOf(page, 'rig-clock')).toBe(still);
  expect(await textOf(page, 'judgement')).not.toMatch(/No data|old/);
  await page.keyboard.press('l');
  await soon(() => clockMs(page)).toBeGreaterThan(from);
  const back = await clockMs(page);
  await soon(() => clockMs(page)).toBeGreaterThan(back);
  expect(complaints).toEqual([]);
});

/** The worker as it is built, asked by a page that does nothing else. */
const askWorker = (page: Page, worker: string) =>
  page.evaluate(async (script) => {
    const course = await (await fetch('/api/course')).json();
    const bytes = new Uint8Array(await (await fetch('/api/samples')).arrayBuffer());
    const desk = new Worker(script, { type: 'module' });
    const ask = (question: object) =>
      new Promise<{ answer: string; record?: object }>((resolve, reject) => {
        desk.onmessage = ({ data }) => resolve(data);
        desk.onerror = ({ message }) => reject(new Error(message));
        desk.postMessage(question);
      });
    await ask({ ask: 'load', course, bytes });
    // Sought to and fro before: it must not matter.
    for (const share of [0.7, 0.2, 0.9]) {
      const ms = Date.parse('2031-05-12T04:00:00Z') + share * 5_400_000;
      await ask({ ask: 'seek', ms, knowing: 'seen', anew: true });
    }
    const { record } = await ask({ ask: 'record' });
    desk.terminate();
    return JSON.stringify(record);
  }, worker);

/** A built file and all that are fetched with it, by name. */
function withImports(assets: string, name: string, found = new Set<string>()): Set<string> {
  if (found.has(name)) return found;
  found.add(name);
  const code = readFileSync(`${assets}/${name}`, 'utf8');
  for (const [, other] of code.matchAll(/\bfrom[`'"]\.\/([\w-]+\.js)[`'"]/g)) withImports(assets, other!, found);
  return found;
}

test('the record that the worker counts in the browser is the service’s own, to the byte', async () => {
  const { url } = await recordedRun();
  const assets = `${pageFolder()}/assets`;
  const name = readdirSync(assets).find((file) => file.startsWith('replayWorker') && file.endsWith('.js'))!;
  const { page } = await openPage(url);
  const theirs = await (await fetch(`${url}api/record`)).json();
  expect(await askWorker(page, `/assets/${name}`)).toBe(JSON.stringify(theirs));
  // Schemas, views and statistics libraries are for the page and the service.
  for (const part of withImports(assets, name))
    expect(readFileSync(`${assets}/${part}`, 'utf8'), part).not.toMatch(
      /ZodObject|ZodMiniObject|studentt|createElement/,
    );
});
