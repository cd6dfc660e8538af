/** The traces in hand: what is looked at stays, whatever comes in; by mouse, by keyboard, by finger. */
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { DEMO_AT, startDemoJob } from '../support/demoJob.ts';
import { soon, textOf, until, untilText, usePages, wordsOf } from '../support/pages.ts';

const openPage = usePages();

async function livePage(options: { hasTouch?: boolean } = {}): Promise<Page> {
  const demo = await startDemoJob(20, DEMO_AT.expandingScreen);
  const { page } = await openPage(demo.url, options);
  await demo.go();
  await untilText(page, 'phase', /S2/);
  await until(
    page,
    'the traces are drawn',
    () => /^Last/.test(document.querySelector('.traces-moment')!.textContent!),
    null,
  );
  return page;
}

const moment = (page: Page): Promise<string> => wordsOf(page.locator('.traces-moment'));
const backToLive = (page: Page) => page.getByRole('button', { name: 'Back to live' });
const pressed = (page: Page): Promise<string[]> =>
  page.locator('.traces-bar button[aria-pressed="true"]').allInnerTexts();

/** Waits until rig time has gone on by so much. */
async function rigSeconds(page: Page, seconds: number): Promise<void> {
  const at = async (): Promise<number> =>
    (await textOf(page, 'rig-clock')).split(':').reduce((sum, part) => sum * 60 + Number(part), 0);
  const from = await at();
  await soon(at).toBeGreaterThanOrEqual(from + seconds);
}

/** Presses the mouse at one share of the width of the first track, lets go at another. */
async function drag(page: Page, from: number, to: number): Promise<void> {
  const box = (await page.locator('.traces-cell').first().boundingBox())!;
  const y = box.y + box.height / 2;
  await page.mouse.move(box.x + box.width * from, y);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width * ((from + to) / 2), y, { steps: 4 });
  await page.mouse.move(box.x + box.width * to, y, { steps: 4 });
  await page.mouse.up();
}

test('each track is drawn, with a value and a unit at each curve', async () => {
  const page = await livePage();
  const colours = await page.locator('.traces-cell canvas').evaluateAll((elements) =>
    elements.map((element) => {
      const canvas = element as HTMLCanvasElement;
      const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
      return new Set(new Uint32Array(data.buffer)).size;
    }),
  );
  expect(colours.length).toBeGreaterThanOrEqual(5);
  for (const count of colours) expect(count).toBeGreaterThan(3);
  const values = await page.locator('.traces-value').allInnerTexts();
  for (const value of values) expect(value).toMatch(/\d/);
});

test('a zoom by mouse holds while data comes in, and one press goes back to live', async () => {
  const page = await livePage();
  await drag(page, 0.55, 0.9);
  await backToLive(page).waitFor();
  await page.mouse.move(5, 5);
  await soon(() => moment(page)).not.toMatch(/^Last/);
  const held = await moment(page);
  await rigSeconds(page, 60);
  expect(await moment(page)).toBe(held);
  expect(await pressed(page)).toEqual([]);
  await backToLive(page).click();
  await soon(() => moment(page)).toMatch(/^Last/);
  expect(await backToLive(page).count()).toBe(0);
});

test('spans, zoom, the past and the way back are all on the keyboard', async () => {
  const page = await livePage();
  const area = page.locator('.traces-area');
  await area.focus();
  for (const [key, label, says] of [
    ['1', '10 min', /^Last 10 min$/],
    ['2', '1 h', /^Last 60 min$/],
    ['3', '4 h', /^Last 4 h$/],
    ['4', 'All', /^Last \d+ min$/],
  ] as const) {
    await area.press(key);
    await soon(() => pressed(page)).toEqual([label]);
    await soon(() => moment(page)).toMatch(says);
  }
  await area.press('1');
  await area.press('+');
  await soon(() => moment(page)).toMatch(/^Last (\d+ s|[1-9] min)$/);
  await area.press('PageUp');
  await soon(() => moment(page)).not.toMatch(/^Last/);
  const held = await moment(page);
  await rigSeconds(page, 40);
  expect(await moment(page)).toBe(held);
  await area.press('l');
  await soon(() => moment(page)).toMatch(/^Last/);
});

test('the keyboard cursor reads out the values at a moment, and Escape lets go of it', async () => {
  const page = await livePage();
  const area = page.locator('.traces-area');
  await area.focus();
  await area.press('ArrowLeft');
  await area.press('ArrowLeft');
  const spoken = page.locator('.traces-spoken');
  await soon(() => spoken.textContent()).toMatch(/^12 May 04:\d\d:\d\d/);
  expect(await spoken.textContent()).toMatch(/standpipe [\d\u202f]+( to [\d\u202f]+)? kPa/i);
  await soon(() => moment(page)).toMatch(/^12 May 04:\d\d:\d\d$/);
  await area.press('Escape');
  await soon(() => moment(page)).toMatch(/^Last/);
});

test('a finger drags the time shown, and a tap puts the cursor', async () => {
  const page = await livePage({ hasTouch: true });
  const box = (await page.locator('.traces-cell').first().boundingBox())!;
  const y = box.y + box.height / 2;
  await page.touchscreen.tap(box.x + box.width * 0.8, y);
  await soon(() => moment(page)).toMatch(/^12 May/);
  const cdp = await page.context().newCDPSession(page);
  const touch = (type: string, share?: number) =>
    cdp.send('Input.dispatchTouchEvent', {
      type: type as 'touchStart',
      touchPoints: share === undefined ? [] : [{ x: box.x + box.width * share, y }],
    });
  await touch('touchStart', 0.3);
  for (const share of [0.4, 0.5, 0.6]) await touch('touchMove', share);
  await touch('touchEnd');
  await backToLive(page).waitFor();
  const held = await moment(page);
  await rigSeconds(page, 40);
  expect(await moment(page)).toBe(held);
  // The browser takes a tap that follows a drag within a few frames as the end of that drag: a finger is never so quick.
  await soon(async () => {
    if ((await backToLive(page).count()) > 0) await backToLive(page).tap();
    return backToLive(page).count();
  }).toBe(0);
});

test('what was before the page opened is there, and is there again after a reload', async () => {
  const page = await livePage();
  for (const look of ['first', 'after a reload']) {
    if (look !== 'first') await page.reload();
    await untilText(page, 'phase', /S2/);
    await page.locator('.traces-area').press('4');
    // 1 300 s of the job went before.
    await soon(() => moment(page)).toMatch(/^Last (2[1-9]|3\d) min$/);
  }
});
