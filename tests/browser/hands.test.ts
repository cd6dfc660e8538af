/** Everything can be done by keyboard and by finger. */
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { DEMO_AT, startDemoJob } from '../support/demoJob.ts';
import { soon, testId, textOf, untilText, usePages, wordsOf } from '../support/pages.ts';

const openPage = usePages();
/** Stops of the Tab key on the page, by far. */
const MOST_STOPS = 40;

async function livePage(options: { hasTouch?: boolean } = {}): Promise<Page> {
  const demo = await startDemoJob(1, DEMO_AT.expandingScreen);
  const { page } = await openPage(demo.url, options);
  await demo.go();
  await untilText(page, 'phase', /S2/);
  return page;
}

const focused = (page: Page): Promise<string> =>
  page.evaluate(
    () => (document.activeElement as HTMLElement | null)?.dataset.testid ?? document.activeElement?.className ?? '',
  );

test('Tab reaches the joint table and the traces; arrows walk the joints, Enter looks at one, Escape comes back', async () => {
  const page = await livePage();
  const stops: string[] = [];
  for (let i = 0; i < MOST_STOPS && !stops.at(-1)?.startsWith('joint-row'); i++) {
    await page.keyboard.press('Tab');
    stops.push(await focused(page));
  }
  expect(stops).toContain('traces-area');
  // The row of the joint at work is the one stop of the table.
  expect(stops.at(-1)).toBe('joint-row-S2');
  await page.keyboard.press('ArrowDown');
  await soon(() => focused(page)).toBe('joint-row-S3');
  await page.keyboard.press('End');
  await soon(() => focused(page)).toBe('joint-row-SH');
  await page.keyboard.press('Home');
  await soon(() => focused(page)).toBe('joint-row-HG');
  const row = testId(page, 'joint-row-HG');
  await soon(() => row.evaluate((tr) => getComputedStyle(tr).outlineStyle)).not.toBe('none');
  await page.keyboard.press('Enter');
  await soon(() => row.getAttribute('aria-selected')).toBe('true');
  await testId(page, 'back-to-tool').waitFor();
  await page.keyboard.press('Escape');
  await soon(() => row.getAttribute('aria-selected')).toBe('false');
  expect(await testId(page, 'back-to-tool').count()).toBe(0);
});

test('? opens the help, which holds the focus, and Escape closes it', async () => {
  const page = await livePage();
  const help = testId(page, 'dialog-help');
  expect(await help.isVisible()).toBe(false);
  await page.keyboard.press('?');
  await help.waitFor({ state: 'visible' });
  expect(await help.evaluate((dialog) => dialog.contains(document.activeElement))).toBe(true);
  expect(await wordsOf(help)).toContain('Metric or field units');
  await page.keyboard.press('Escape');
  await help.waitFor({ state: 'hidden' });
});

test('the source tells what came and what was refused', async () => {
  const page = await livePage();
  await page.keyboard.press('s');
  const source = testId(page, 'dialog-source');
  await source.waitFor({ state: 'visible' });
  // Everything that the rig sent at once, and one frame a second since.
  await untilText(page, 'dialog-source', /Frames\s*1\s3\d\d/);
  // What the plan leaves out is said where the source is told.
  await untilText(page, 'not-worked-out', /not judged, the plan gives no limit: .*short overlap/);
  const text = await wordsOf(source);
  expect(text).toContain('rig stream connected');
  await page.keyboard.press('Escape');
  await source.waitFor({ state: 'hidden' });
});

test('single keys can be turned off', async () => {
  const page = await livePage();
  await page.keyboard.press('?');
  await page.getByRole('checkbox').uncheck();
  await page.keyboard.press('Escape');
  await testId(page, 'dialog-help').waitFor({ state: 'hidden' });
  await page.keyboard.press('u');
  await page.keyboard.press('s');
  expect(await textOf(page, 'units-switch')).toContain('metric');
  expect(await testId(page, 'dialog-source').isVisible()).toBe(false);
});

test('a tap on a row looks at its joint, a second one comes back; the liner takes taps too', async () => {
  const page = await livePage({ hasTouch: true });
  const row = testId(page, 'joint-row-S1');
  await row.tap();
  await soon(() => row.getAttribute('aria-selected')).toBe('true');
  await testId(page, 'back-to-tool').tap();
  await soon(() => row.getAttribute('aria-selected')).toBe('false');
  const box = (await page.locator('.overview').boundingBox())!;
  await page.touchscreen.tap(box.x + 32, box.y + box.height * 0.9);
  await testId(page, 'back-to-tool').waitFor();
  await testId(page, 'units-switch').tap();
  await untilText(page, 'units-switch', /field/);
});

/** WCAG 2.2, 2.5.8 (AA): what is pressed is at least 24 by 24 CSS px. */
test('nothing to be pressed is smaller than 24 px', async () => {
  const page = await livePage();
  const small = await page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>('button, input, select, a, tr[tabindex]')]
      .map((element) => ({ box: element.getBoundingClientRect(), name: element.textContent || element.title }))
      .filter(({ box }) => box.width > 0 && (box.width < 24 || box.height < 24))
      .map(({ box, name }) => `${name}: ${box.width.toFixed(0)} × ${box.height.toFixed(0)}`),
  );
  expect(small).toEqual([]);
});
