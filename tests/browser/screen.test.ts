/** The main screen as it is looked at: whole without scrolling, nothing cut off, large and dark enough to be read. */
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { pageFolder } from '../../server/pageFolder.ts';
import { DEMO_AT, startDemoJob } from '../support/demoJob.ts';
import { liveDemo } from '../support/liveDemo.ts';
import { drawn, LOOK_SIZES, lookFaults } from '../support/looks.ts';
import { RIG_PANEL, soon, testId, untilState, untilText, usePages } from '../support/pages.ts';
import { faintTexts } from '../support/screenChecks.ts';

const openPage = usePages();
/** Main numbers are read from two metres. */
const MAIN_NUMBER_PX = 32;
const MAIN_NUMBERS = ['depth', 'done-metres', 'pressure', 'feed', 'rotation', 'torque', 'age'];

/** Moments that fill the screen in different ways: all well, an event open, standing still in the slips, data cut off. */
const MOMENTS: Readonly<Record<string, { atS: number; shows: RegExp; cut?: true }>> = {
  'expanding a screen': { atS: DEMO_AT.expandingScreen, shows: /^Expanding screen S2/ },
  'low pressure': { atS: DEMO_AT.lowPressure, shows: /^Expanding screen S2/ },
  'making a connection': { atS: DEMO_AT.connection, shows: /^Making connection/ },
  stalled: { atS: DEMO_AT.stalled, shows: /^Stalled/ },
  'data cut off': { atS: DEMO_AT.lowPressure, shows: /^Expanding screen S2/, cut: true },
};

async function pageAt(name: string): Promise<Page> {
  const { atS, shows, cut } = MOMENTS[name]!;
  const speed = cut ? 20 : 1;
  const demo = await startDemoJob(speed, atS);
  const { page } = await openPage(demo.url);
  await demo.go();
  await untilText(page, 'phase', shows);
  await untilState(page, 'age', 'fresh');
  if (cut) {
    demo.relay.cut();
    await untilState(page, 'age', 'stale');
  }
  return page;
}

test.each(Object.keys(MOMENTS))('%s: no scrolling, nothing cut off, enough contrast', async (name) => {
  const page = await pageAt(name);
  expect(await lookFaults(page)).toEqual([]);
});

test('before the first sample: nothing cut off', async () => {
  const demo = await startDemoJob(1, DEMO_AT.expandingScreen);
  const { page } = await openPage(demo.url);
  await untilText(page, 'judgement', /^Waiting for a reading/);
  await testId(page, 'joint-row-S6').waitFor();
  expect(await lookFaults(page)).toEqual([]);
  await demo.go();
  await untilState(page, 'age', 'fresh');
});

/** Names beside the liner that stick out of their picture. */
const namesCutOff = (page: Page): Promise<string[]> =>
  page.evaluate(() =>
    [...document.querySelectorAll<SVGTextElement>('.overview .name, .joint-name-name')]
      .filter((name) => name.getBoundingClientRect().right > name.ownerSVGElement!.getBoundingClientRect().right + 1)
      .map((name) => name.textContent),
  );

test('long names of joints: where the tool is stands there whole', async () => {
  const demo = await liveDemo({ page: pageFolder() }, (plan) => ({
    ...plan,
    liner: { ...plan.liner, joints: plan.liner.joints.map((joint) => ({ ...joint, name: `${joint.name}-upper` })) },
    stream: { ...plan.stream!, gapAfter: 300 },
  }));
  const { page } = await openPage(demo.at.url);
  await demo.upTo(DEMO_AT.expandingIsolation);
  await untilText(page, 'phase', /^Expanding isolation Z1-upper$/);
  expect(await lookFaults(page)).toEqual([]);
  for (const size of LOOK_SIZES) {
    await page.setViewportSize(size);
    await drawn(page);
    await soon(() => namesCutOff(page)).toEqual([]);
  }
});

/** Whether the row of the joint at work is wholly inside the part of the table that is seen. */
const rowInSight = (page: Page): Promise<boolean> =>
  page.evaluate(() => {
    const row = document.querySelector('.joints tr.is-current')!.getBoundingClientRect();
    const head = document.querySelector('.joints thead')!.getBoundingClientRect();
    const frame = document.querySelector('.joints .scroller')!.getBoundingClientRect();
    return row.top >= head.bottom - 1 && row.bottom <= frame.bottom + 1;
  });

test('with the time bar and somebody who leads, live and played back: nothing cut off, the joint at work in sight', async () => {
  const page = await pageAt('low pressure');
  await page.keyboard.press('h');
  await testId(page, 'lead-by').fill('Onshore engineer');
  await testId(page, 'lead-take').click();
  await soon(() => testId(page, 'together').getAttribute('data-stance')).toBe('leading');
  await page.keyboard.press('b');
  const strip = testId(page, 'run-strip');
  await strip.waitFor();
  expect(await lookFaults(page)).toEqual([]);
  await soon(() => rowInSight(page)).toBe(true);
  await page.setViewportSize(RIG_PANEL);
  await drawn(page);
  const { x, y, width, height } = (await strip.boundingBox())!;
  await page.mouse.click(x + width / 2, y + height / 2);
  await testId(page, 'replay-sign').waitFor();
  expect(await lookFaults(page)).toEqual([]);
  await soon(() => rowInSight(page)).toBe(true);
});

test('the main numbers are at least 32 px on the rig panel, and grow with the screen', async () => {
  const page = await pageAt('expanding a screen');
  const sizes = (): Promise<Record<string, number>> =>
    page.evaluate(
      (ids) =>
        Object.fromEntries(
          ids.map((id) => {
            const element = document.querySelector(`[data-testid="${id}"]`)!;
            return [id, Number.parseFloat(getComputedStyle(element.querySelector('b') ?? element).fontSize)];
          }),
        ),
      MAIN_NUMBERS,
    );
  const onPanel = await sizes();
  for (const [id, px] of Object.entries(onPanel)) expect(px, id).toBeGreaterThanOrEqual(MAIN_NUMBER_PX);
  await page.setViewportSize(LOOK_SIZES[1]);
  for (const [id, px] of Object.entries(await sizes())) expect(px, id).toBeGreaterThanOrEqual(onPanel[id]!);
});

test('both help and source fit the rig panel', async () => {
  const page = await pageAt('expanding a screen');
  for (const [key, name] of [
    ['?', 'help'],
    ['s', 'source'],
  ] as const) {
    const dialog = page.locator(`[data-testid="dialog-${name}"]`);
    // On a busy machine a key may come before the page listens, as it may for a person.
    const press = async (byKey: string, until: boolean): Promise<boolean> => {
      if ((await dialog.isVisible()) !== until) await page.keyboard.press(byKey);
      return dialog.isVisible();
    };
    await soon(() => press(key, true)).toBe(true);
    const box = (await dialog.boundingBox())!;
    expect(box.x >= 0 && box.y >= 0 && box.x + box.width <= RIG_PANEL.width, name).toBe(true);
    expect(box.y + box.height, name).toBeLessThanOrEqual(RIG_PANEL.height);
    expect(await page.evaluate(faintTexts), name).toEqual([]);
    await soon(() => press('Escape', false)).toBe(false);
  }
}, 60_000);

/** WCAG 2.2, 1.4.10 (AA): at a width of 320 CSS px nothing asks for scrolling sideways, but tables and pictures. */
test('at 320 px the page flows into one column and does not scroll sideways', async () => {
  const page = await pageAt('low pressure');
  await page.setViewportSize({ width: 320, height: 800 });
  await drawn(page);
  const sticksOut = await page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>('body *')]
      .filter((element) => !element.closest('.scroller *, svg, .aloud, .traces-hidden'))
      .filter((element) => element.getBoundingClientRect().right > 320.5)
      .map(
        (element) => `${element.tagName} ${element.className} to ${element.getBoundingClientRect().right.toFixed(0)}`,
      ),
  );
  expect(sticksOut).toEqual([]);
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(320);
});
