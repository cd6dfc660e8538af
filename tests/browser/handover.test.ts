/** Handover, time, runs together and files in a real browser: what a shift leaves to the next, and what others are given. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { expect, onTestFinished, test } from 'vitest';
import { systemClock } from '../../ingest/clock.ts';
import { OpenArchive } from '../../server/archive/openArchive.ts';
import { RunLibrary } from '../../server/keep/runLibrary.ts';
import { pageFolder } from '../../server/pageFolder.ts';
import { takeIn } from '../../server/recording/readThrough.ts';
import { startLibrary } from '../../server/service.ts';
import { planSchema } from '../../src/plan/planSchema.ts';
import { type LiveDemo, liveDemo } from '../support/liveDemo.ts';
import { lookFaults } from '../support/looks.ts';
import { plainSpaces, soon, testId, textOf, untilText, usePages } from '../support/pages.ts';
import { readPdf } from '../support/pdfText.ts';
import { trip } from '../support/trips.ts';

const openPage = usePages();
const SLOW = { timeout: 180_000 };
const ANNA = { name: 'Anna Berg', secret: 'seven green bottles' };
const BEN = { name: 'Ben Clay', secret: 'eight blue bottles' };

async function withPeople(): Promise<LiveDemo> {
  const demo = await liveDemo({ page: pageFolder() });
  await demo.post('/api/people', { ...ANNA, role: 'company man' });
  await demo.post('/api/people', { ...BEN, role: 'company man', by: ANNA });
  await demo.upTo(3000);
  return demo;
}

const sheetText = async (page: Page): Promise<string> =>
  plainSpaces((await page.locator('[data-testid="sheet"] svg').first().textContent()) ?? '');

async function signedBy(page: Page, side: string, person: typeof ANNA): Promise<void> {
  await testId(page, `sign-${side}`).click();
  await testId(page, 'sign-name').fill(person.name);
  await testId(page, 'sign-secret').fill(person.secret);
  await testId(page, 'sign-send').click();
  await testId(page, 'dialog-sign').waitFor({ state: 'hidden' });
  await soon(() => textOf(page, `side-${side}`)).toContain(`by ${person.name}`);
}

const holding = (page: Page): Promise<(string | null)[]> =>
  page
    .locator('[data-testid="signature"]')
    .evaluateAll((all) => all.map((one) => (one as HTMLElement).dataset.holds ?? null));

test('a handover: remarks, close, two people sign, and later remarks show both signatures broken', SLOW, async () => {
  const demo = await withPeople();
  const { page, complaints } = await openPage(`${demo.at.url}#papers=handover`);
  await soon(() => sheetText(page)).toContain('Handover, not closed');
  await testId(page, 'remarks').fill('pump 2 is slow, spare seals are on deck');
  await testId(page, 'remarks-by').fill(ANNA.name);
  await testId(page, 'remarks-enter').click();
  await soon(() => sheetText(page)).toContain('pump 2 is slow, spare seals are on deck');
  expect(await lookFaults(page)).toEqual([]);
  await testId(page, 'handover-close').click();
  await testId(page, 'handover-close-yes').click();
  await testId(page, 'side-leaving').waitFor();
  await soon(() => sheetText(page)).toContain('Handover 1');
  expect(new URL(page.url()).hash).toBe('#papers=handover&of=1');
  await signedBy(page, 'leaving', ANNA);
  await signedBy(page, 'coming', BEN);
  await soon(() => holding(page)).toEqual(['holds', 'holds']);
  await soon(async () => (await sheetText(page)).match(/signed, holds/g)?.length).toBe(2);
  // A cause that is said later of what was handed over is not what they signed.
  const { uncoded } = (await (await demo.get('/api/time')).json()) as { uncoded: { from: string; to: string }[] };
  const { from, to } = uncoded[0]!;
  await demo.post('/api/journal', { by: 'A', action: 'time code', from, to, code: 'TOOL', reason: 'rollers' });
  await soon(() => holding(page)).toEqual(['broken', 'broken']);
  expect(await textOf(page, 'side-coming')).toContain('“time code” of A: causes said later');
  await soon(() => sheetText(page)).toContain('TOOL: rollers (A)');
  await signedBy(page, 'leaving', ANNA);
  await soon(() => holding(page)).toEqual(['broken', 'holds', 'broken']);
  await testId(page, 'remarks').fill('it was pump 1');
  await testId(page, 'remarks-enter').click();
  await soon(() => holding(page)).toEqual(['broken', 'broken', 'broken']);
  await soon(() => sheetText(page)).toContain('BROKEN since');
  expect(await textOf(page, 'side-leaving')).toContain('handover remarks');
  expect(await lookFaults(page)).toEqual([]);
  // The next period begins where this one ended.
  await testId(page, 'handover-open').click();
  await soon(() => sheetText(page)).toContain('the last handover');
  expect(complaints).toEqual([]);
});

test('time: a stall is given its cause, to the second, and stands in the sheet of the day', SLOW, async () => {
  const demo = await withPeople();
  const { page, complaints } = await openPage(`${demo.at.url}#papers=time`);
  await soon(() => sheetText(page)).toContain('No time was lost');
  const stall = page.locator('[data-testid="stop"]', { hasText: 'stalled' });
  await stall.getByTestId('stop-cause').click();
  await testId(page, 'cause-code').selectOption('TOOL');
  await testId(page, 'cause-reason').fill('rollers held by debris');
  await testId(page, 'cause-by').fill(ANNA.name);
  expect(await lookFaults(page)).toEqual([]);
  await testId(page, 'cause-enter').click();
  await soon(() => sheetText(page)).toContain('rollers held by debris');
  await soon(() => stall.textContent()).toContain('TOOL: rollers held by debris (Anna Berg)');
  // Part of it only, as the clocks of the rig showed it.
  await testId(page, 'another-stretch').click();
  await testId(page, 'cause-from').fill('2031-05-12 04:10:00');
  await testId(page, 'cause-to').fill('2031-05-12 04:10:30');
  await testId(page, 'cause-code').selectOption('ORDERS');
  await testId(page, 'cause-reason').fill('waited for the office');
  await testId(page, 'cause-enter').click();
  await soon(() => sheetText(page)).toContain('waited for the office');
  const { lost } = (await (await demo.get('/api/time')).json()) as { lost: { code: string; ms: number }[] };
  expect(lost.find(({ code }) => code === 'ORDERS')?.ms).toBe(30_000);
  await testId(page, 'another-stretch').click();
  await testId(page, 'cause-from').fill('yesterday');
  await testId(page, 'cause-reason').fill('x');
  await testId(page, 'cause-enter').click();
  await soon(() => textOf(page, 'cause')).toContain('A time is written like');
  expect(complaints).toEqual([]);
});

/** What the browser was given to keep. */
async function downloadOf(page: Page, name: string): Promise<{ bytes: Buffer; name: string; path: string }> {
  const coming = page.waitForEvent('download', { timeout: 90_000 });
  await testId(page, `get-${name}`).click();
  const download = await coming;
  const path = await download.path();
  return { bytes: readFileSync(path), name: download.suggestedFilename(), path };
}

test('files: every kind in the units chosen, and the report', SLOW, async () => {
  const demo = await withPeople();
  const { page, complaints } = await openPage(`${demo.at.url}#papers=files`);
  await testId(page, 'files-field').click();
  const joints = await downloadOf(page, 'joints.csv');
  expect(joints.name).toBe('test-run-joints.csv');
  expect(joints.bytes.toString('utf8')).toBe(await (await demo.get('/api/export/joints.csv?units=field')).text());
  expect(joints.bytes.toString('utf8')).toContain('(ft)');
  await soon(() => textOf(page, 'told-joints.csv')).toMatch(/test-run-joints\.csv, .* kB/);
  const log = await downloadOf(page, 'las');
  expect(log.bytes.toString('latin1')).toMatch(/^~V/);
  const report = await downloadOf(page, 'report');
  expect(readPdf(report.bytes).pages.length).toBeGreaterThan(10);
  expect(await page.getByText('This run is not kept in a library').count()).toBe(1);
  expect(await lookFaults(page)).toEqual([]);
  expect(complaints).toEqual([]);
});

/** A library without a rig. @param filled before it is served */
async function libraryOf(filled: (library: RunLibrary, data: string) => Promise<void>): Promise<string> {
  const folder = mkdtempSync(join(tmpdir(), 'jointwise-handover-'));
  const data = join(folder, 'data');
  const library = new RunLibrary(data, { nowMs: () => systemClock.nowMs(), report: () => {} });
  await filled(library, data);
  const service = await startLibrary({
    library,
    data,
    report: () => {},
    clock: systemClock,
    host: '127.0.0.1',
    port: 0,
    allowedOrigins: [],
    page: pageFolder(),
  });
  onTestFinished(async () => {
    await service.close();
    await library.end();
    rmSync(folder, { recursive: true, force: true });
  });
  return service.url;
}

/** Three trips of the same liner; on one of them S4 is held again and again. */
async function libraryOfThree(): Promise<{ url: string; ids: readonly string[] }> {
  const planText = readFileSync('replay-data/demo-plan.json', 'utf8');
  const plan = planSchema.parse(JSON.parse(planText));
  const held = [3, 5, 7].map((into) => ({ kind: 'stall', joint: 'S4', into, seconds: 240 }) as const);
  const ids: string[] = [];
  const given: { stream: Parameters<typeof takeIn>[2]; as: Parameters<typeof takeIn>[3] }[] = [];
  for (const [name, seed, incidents] of [
    ['first', 11, []],
    ['second', 12, held],
    ['third', 13, []],
  ] as const) {
    const { bytes } = trip(seed, plan, { incidents: [...incidents] });
    const stream = {
      name: `${name}.wits`,
      async *chunks() {
        yield bytes;
      },
    };
    const as = { name, source: stream.name, format: 'wits0', planText, journal: [], nowMs: Date.now } as const;
    given.push({ stream, as });
  }
  const url = await libraryOf(async (library, data) => {
    for (const { stream, as } of given) ids.push(await takeIn(library, data, stream, as));
  });
  return { url, ids };
}

const NO_LIVE_LINK =
  /WebSocket connection to .* failed|Failed to load resource: the server responded with a status of 404/;

test('runs together name the joint that is unlike its kind; the archive of one is whole', SLOW, async () => {
  const { url, ids } = await libraryOfThree();
  const { page, complaints } = await openPage(`${url}#run=${ids[1]}&papers=together`);
  await testId(page, 'odd').waitFor({ timeout: 60_000 });
  await soon(() => textOf(page, 'together-told')).toBe('');
  await untilText(page, 'odd', /S4, screen, run second/);
  expect(await textOf(page, 'odd')).toMatch(
    /S4, screen, run second: stalls 3, above the 0 that is usual of \d+ screen/,
  );
  expect(await textOf(page, 'groups')).toMatch(/m\/min/);
  await page.keyboard.press('u');
  await soon(() => textOf(page, 'groups')).toMatch(/ft\/min/);
  await testId(page, 'by-run').click();
  await soon(() => textOf(page, 'groups')).toContain('second');
  await testId(page, 'by-caliper').click();
  await testId(page, 'groups-none').waitFor();
  await testId(page, 'by-zone').click();
  expect(await lookFaults(page)).toEqual([]);
  // One run alone is compared within itself.
  await testId(page, `beside-${ids[1]}`).uncheck();
  await soon(() => textOf(page, 'odd')).not.toContain('S4');
  await testId(page, `beside-${ids[2]}`).uncheck();
  await soon(() => page.locator('[data-testid="together-joints"] tbody tr').count()).toBeLessThan(10);

  await testId(page, 'papers-files').click();
  const archive = await downloadOf(page, 'archive');
  expect(archive.name).toBe('second-archive.zip');
  const opened = await OpenArchive.open(archive.path);
  const names = opened.files.map(({ name }) => name);
  opened.close();
  expect(names).toEqual(expect.arrayContaining(['raw/raw-00001.log', 'record.json', 'report.pdf', 'manifest.json']));
  expect(await lookFaults(page)).toEqual([]);
  // Another installation takes it in.
  const other = await libraryOf(async () => {});
  await page.goto(`${other}#library`);
  await testId(page, 'run-import').click();
  await testId(page, 'import-archive').setInputFiles(archive.path);
  await testId(page, 'import-open').click();
  await untilText(page, 'recorded-sign', /second/);
  expect(complaints.filter((line) => !NO_LIVE_LINK.test(line))).toEqual([]);
});
