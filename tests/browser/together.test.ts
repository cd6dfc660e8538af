/** Several people on one run, each with a page of their own in a real browser: one position, notes, acknowledgements. */
import type { Page } from 'playwright-core';
import { expect, onTestFinished, test, vi } from 'vitest';
import { systemClock } from '../../ingest/clock.ts';
import { fileSource } from '../../ingest/fileSource.ts';
import { pageFolder } from '../../server/pageFolder.ts';
import { readPlan } from '../../server/plan/readPlan.ts';
import { READERS } from '../../server/readers.ts';
import { type Service, startService } from '../../server/service.ts';
import { rowCount } from '../../src/traces/traceStore.ts';
import { startDemoJob, startRelay } from '../support/demoJob.ts';
import { PATIENCE_MS, soon, testId, textOf, untilText, usePages, wordsOf } from '../support/pages.ts';

const openPage = usePages();

/** The whole demo run, which has ended: nobody's live screen can be moved. */
async function recordedRun(): Promise<Service> {
  const { plan, job } = await readPlan('replay-data/demo-plan.json');
  const service = await startService({
    name: 'recorded',
    plan,
    job,
    rate: 1,
    clock: systemClock,
    source: fileSource({ path: 'replay-data/demo.wits' }, systemClock),
    createReader: READERS.wits0,
    host: '127.0.0.1',
    port: 0,
    allowedOrigins: [],
    page: pageFolder(),
  });
  onTestFinished(() => service.close());
  await service.live.start();
  await vi.waitUntil(() => service.live.ingest().link === 'ended' && rowCount(service.live.traces) > 5000, {
    timeout: PATIENCE_MS,
  });
  return service;
}

const clockMs = async (page: Page): Promise<number> => Date.parse(`2031-05-12T${await textOf(page, 'rig-clock')}Z`);
const stanceOf = (page: Page): Promise<string | null> => testId(page, 'together').getAttribute('data-stance');
const lead = async (page: Page, name: string): Promise<void> => {
  await page.keyboard.press('h');
  await testId(page, 'lead-by').fill(name);
  await testId(page, 'lead-take').click();
  await soon(() => stanceOf(page)).toBe('leading');
};

async function openRun(url: string): Promise<{ page: Page; complaints: string[] }> {
  const opened = await openPage(url);
  await untilText(opened.page, 'rig-clock', /\d\d:\d\d:\d\d/);
  await testId(opened.page, 'together').waitFor();
  return opened;
}

async function openBar(page: Page): Promise<void> {
  await page.keyboard.press('b');
  await testId(page, 'run-strip').waitFor();
}

async function pressAt(page: Page, share: number): Promise<void> {
  const box = (await testId(page, 'run-strip').boundingBox())!;
  await page.mouse.click(box.x + share * box.width, box.y + box.height / 2);
}

async function withNote(page: Page, name: string, text: string): Promise<void> {
  await page.keyboard.press('n');
  await testId(page, 'note-text').fill(text);
  await testId(page, 'note-by').fill(name);
}

test('two people share a position: one leads, the other follows, leaves and comes back; a third gets it at once', async () => {
  const { url } = await recordedRun();
  const a = await openRun(url);
  const b = await openRun(url);
  await soon(() => textOf(a.page, 'together')).toBe('2 watch');
  await lead(a.page, 'Day shift');
  await soon(() => stanceOf(b.page)).toBe('following');
  await soon(() => textOf(b.page, 'together')).toBe(
    'Day shift leads, at the newest end; you follow. 2 watch, 1 follows',
  );
  await openBar(a.page);
  await pressAt(a.page, 0.3);
  await testId(b.page, 'replay-sign').waitFor();
  await soon(async () => (await clockMs(b.page)) - (await clockMs(a.page))).toBe(0);
  // By a move of its own the second goes alone; the first stays where it is.
  const still = await clockMs(a.page);
  await testId(b.page, 'run-strip').waitFor();
  await pressAt(b.page, 0.7);
  await soon(() => stanceOf(b.page)).toBe('alone');
  await soon(() => textOf(a.page, 'together')).toContain('2 watch, 0 follow');
  expect(await clockMs(a.page)).toBe(still);
  // The first moves on: the second stays, and comes back by one key.
  await pressAt(a.page, 0.5);
  await soon(() => clockMs(a.page)).not.toBe(still);
  const alone = await clockMs(b.page);
  const c = await openRun(url);
  await soon(() => stanceOf(c.page)).toBe('following');
  await soon(async () => (await clockMs(c.page)) - (await clockMs(a.page))).toBe(0);
  expect(await clockMs(b.page)).toBe(alone);
  await b.page.keyboard.press('f');
  await soon(async () => (await clockMs(b.page)) - (await clockMs(a.page))).toBe(0);
  await soon(() => textOf(a.page, 'together')).toContain('3 watch, 2 follow');
  expect([...a.complaints, ...b.complaints, ...c.complaints]).toEqual([]);
});

test('what is played is played for all; another takes the lead; who led may leave, and nobody moves for it', async () => {
  const { url } = await recordedRun();
  const a = await openRun(url);
  const b = await openRun(url);
  await lead(a.page, 'Day shift');
  await openBar(a.page);
  await pressAt(a.page, 0.1);
  await testId(a.page, 'speed-choice').selectOption('60');
  await testId(a.page, 'play').click();
  await testId(b.page, 'replay-sign').waitFor();
  const from = await clockMs(b.page);
  await soon(() => clockMs(b.page)).toBeGreaterThan(from + 120_000);
  expect(await textOf(b.page, 'together')).toContain('playing at 60×');
  // Both clocks in one look each, as near as two pages can be read: within a few seconds of ours at 60×.
  const [here, there] = await Promise.all([clockMs(a.page), clockMs(b.page)]);
  expect(Math.abs(here - there)).toBeLessThan(60 * 4_000);
  await a.page.keyboard.press(' ');
  await soon(async () => (await clockMs(b.page)) - (await clockMs(a.page))).toBe(0);
  await lead(b.page, 'Night shift');
  await soon(() => stanceOf(a.page)).toBe('following');
  await soon(() => textOf(a.page, 'together')).toContain('Night shift leads');
  const taken = await clockMs(b.page);
  await pressAt(b.page, 0.6);
  await soon(() => clockMs(b.page)).not.toBe(taken);
  await soon(async () => (await clockMs(a.page)) - (await clockMs(b.page))).toBe(0);
  const still = await clockMs(a.page);
  await b.page.close();
  await soon(() => textOf(a.page, 'together')).toContain('Nobody leads any more');
  expect(await clockMs(a.page)).toBe(still);
  expect(await stanceOf(a.page)).toBe('following');
  expect([...a.complaints, ...b.complaints]).toEqual([]);
});

test('while the tool runs nobody’s screen is moved before they follow; a link that was cut comes back as it was', async () => {
  const job = await startDemoJob(20, 1300);
  const relay = await startRelay(job.service.port);
  onTestFinished(() => relay.close());
  await job.go();
  const a = await openRun(`http://127.0.0.1:${relay.port}/`);
  const b = await openRun(job.url);
  await lead(a.page, 'Onshore');
  await openBar(a.page);
  await pressAt(a.page, 0.4);
  await soon(() => textOf(b.page, 'together')).toMatch(/^Onshore leads, at \d\d:\d\d:\d\d; you look on your own/);
  expect(await testId(b.page, 'replay-sign').count()).toBe(0);
  await b.page.keyboard.press('f');
  await testId(b.page, 'replay-sign').waitFor();
  await soon(async () => (await clockMs(b.page)) - (await clockMs(a.page))).toBe(0);
  // The leader's link goes; its page keeps the lead when it is back.
  relay.cut();
  await soon(() => job.service.hub.counts().watching).toBe(1);
  const still = await clockMs(b.page);
  relay.mend();
  await soon(() => job.service.hub.counts().watching).toBe(2);
  await soon(() => stanceOf(a.page)).toBe('leading');
  expect(await clockMs(b.page)).toBe(still);
  await pressAt(a.page, 0.2);
  await soon(async () => (await clockMs(b.page)) - (await clockMs(a.page))).toBe(0);
  await b.page.keyboard.press('l');
  await testId(b.page, 'replay-sign').waitFor({ state: 'detached' });
  expect(await stanceOf(b.page)).toBe('alone');
});

test('a note appears at once for all, at its instant and its depth; two edits at the same time are both kept', async () => {
  const { url, live } = await recordedRun();
  const a = await openRun(url);
  const b = await openRun(url);
  await openBar(b.page);
  await openBar(a.page);
  await pressAt(a.page, 0.4);
  await testId(a.page, 'replay-sign').waitFor();
  await withNote(a.page, 'Day shift', 'pump two was off here');
  await testId(a.page, 'note-send').click();
  await soon(() => testId(b.page, 'note-strip-mark').count()).toBe(1);
  await testId(a.page, 'note-text').fill('tight spot');
  await testId(a.page, 'note-pin').selectOption('depth');
  await testId(a.page, 'note-depth').fill('2455.5');
  await testId(a.page, 'note-send').click();
  await soon(() => testId(b.page, 'notes-open').textContent()).toBe('2 notes');
  await b.page.keyboard.press('n');
  await soon(() => testId(b.page, 'note').count()).toBe(2);
  // Both open the same note, and both write.
  for (const { page } of [a, b]) await testId(page, 'note-edit').first().click();
  for (const [{ page }, name, text] of [
    [a, 'Day shift', 'tight spot, 40 kN'],
    [b, 'Night shift', 'tight spot, reamed'],
  ] as const) {
    await testId(page, 'edit-text').fill(text);
    await testId(page, 'edit-by').fill(name);
  }
  await Promise.all([a, b].map(({ page }) => testId(page, 'edit-send').click()));
  for (const { page } of [a, b]) {
    await testId(page, 'note-conflict').waitFor();
    await soon(async () => (await testId(page, 'note-version').allInnerTexts()).join('|')).toMatch(
      /(?=.*40 kN)(?=.*reamed)/s,
    );
  }
  await testId(b.page, 'note-keep').last().click();
  await testId(a.page, 'note-conflict').waitFor({ state: 'detached' });
  await testId(b.page, 'note-take-back').first().click();
  await soon(() => testId(a.page, 'note').first().getAttribute('data-state')).toBe('taken back');
  await soon(() => testId(a.page, 'notes-open').textContent()).toBe('1 note');
  // Nothing was overwritten: the journal holds every word, and chains every entry.
  const kept = live.course().entries.map((entry) => (entry.action === 'note' ? entry.text : ''));
  for (const text of ['pump two was off here', 'tight spot', 'tight spot, 40 kN', 'tight spot, reamed'])
    expect(kept).toContain(text);
  const late = await openRun(url);
  await late.page.keyboard.press('n');
  await testId(late.page, 'note-go').last().click();
  await testId(late.page, 'replay-sign').waitFor();
  await soon(async () => (await clockMs(late.page)) - (await clockMs(a.page))).toBe(0);
  await soon(() => testId(late.page, 'notes-open').textContent()).toBe('1 note');
  expect([...a.complaints, ...b.complaints, ...late.complaints]).toEqual([]);
});

test('an event is acknowledged for all; at an instant before, it was not; with what is known now, it is', async () => {
  const { url } = await recordedRun();
  const a = await openRun(url);
  const b = await openRun(url);
  const first = testId(b.page, 'event-closed').first();
  await soon(() => wordsOf(first)).toContain('ended, not acknowledged');
  const kind = await first.getAttribute('data-kind');
  await a.page.keyboard.press('a');
  await testId(a.page, 'acknowledge-by').fill('Day shift');
  expect(await textOf(a.page, 'acknowledge-event')).toMatch(new RegExp(kind!, 'i'));
  await testId(a.page, 'acknowledge-reason').fill('pump two was off');
  await testId(a.page, 'acknowledge-send').click();
  const said = /acknowledged by Day shift, \d\d:\d\d:\d\d: pump two was off/;
  for (const { page } of [a, b])
    await soon(async () => (await testId(page, 'ack').allInnerTexts()).join('|')).toMatch(said);
  // The name is known now: one press is enough.
  const waiting = (page: Page) => testId(page, 'acknowledge').count();
  const before = await waiting(a.page);
  await testId(a.page, 'acknowledge').first().click();
  await soon(() => waiting(b.page)).toBe(before - 1);
  await openBar(b.page);
  await pressAt(b.page, 0.999);
  await testId(b.page, 'replay-sign').waitFor();
  await soon(async () => (await testId(b.page, 'ack').allInnerTexts()).join('|')).not.toMatch(/acknowledged by/);
  await soon(() => waiting(b.page)).toBe(0);
  await testId(b.page, 'as-known').click();
  await soon(async () => (await testId(b.page, 'ack').allInnerTexts()).join('|')).toMatch(said);
  await b.page.keyboard.press('l');
  await soon(async () => (await testId(b.page, 'ack').allInnerTexts()).join('|')).toMatch(said);
  expect([...a.complaints, ...b.complaints]).toEqual([]);
});

test('a joint is accepted by a person with a reason; all see it in the table, and playback knows when', async () => {
  const { url } = await recordedRun();
  const a = await openRun(url);
  const b = await openRun(url);
  await testId(a.page, 'joint-row-S2').click();
  await testId(a.page, 'decide').click();
  await testId(a.page, 'decide-accept').check();
  await testId(a.page, 'decide-by').fill('A. Person');
  await testId(a.page, 'decide-send').click();
  // A reason is asked for.
  expect(await testId(b.page, 'decision-S2').count()).toBe(0);
  await testId(a.page, 'decide-reason').fill('seen on the gauges');
  await testId(a.page, 'decide-send').click();
  await testId(b.page, 'decision-S2').waitFor();
  expect(await textOf(b.page, 'decision-S2')).toContain('accepted, A. Person');
  await openBar(b.page);
  await pressAt(b.page, 0.9);
  await testId(b.page, 'decision-S2').waitFor({ state: 'detached' });
  await testId(b.page, 'as-known').click();
  await testId(b.page, 'decision-S2').waitFor();
  expect([...a.complaints, ...b.complaints]).toEqual([]);
});
