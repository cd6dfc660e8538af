/** What moves while the stream runs: the words, the numbers, the tools, the joint at work, the events. */
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { pageFolder } from '../../server/pageFolder.ts';
import { EVENTS } from '../../src/events.ts';
import { DEMO_AT, startDemoJob } from '../support/demoJob.ts';
import { liveDemo } from '../support/liveDemo.ts';
import {
  numberIn,
  PATIENCE_MS,
  plainSpaces,
  soon,
  testId,
  textOf,
  until,
  untilState,
  untilText,
  usePages,
  wordsOf,
} from '../support/pages.ts';

const openPage = usePages();

test('phase, joint, judgement and every reading are shown, and move with the stream', async () => {
  const demo = await startDemoJob(20, DEMO_AT.expandingScreen);
  const { page } = await openPage(demo.url);
  await untilText(page, 'judgement', /^Waiting for a reading/);
  await demo.go();
  await untilText(page, 'phase', /^Expanding screen S2$/);
  await untilState(page, 'judgement', 'good');
  expect(await textOf(page, 'judgement')).toMatch(/^Good/);
  expect(await textOf(page, 'speed')).toBe('20×');
  const before = await readings();
  for (const [id, value] of Object.entries(before)) expect(value, id).toBeGreaterThan(0);
  for (const id of ['pressure', 'feed', 'depth', 'done-metres', 'torque', 'rig-clock']) {
    const old = await textOf(page, id);
    await until(
      page,
      `${id} is no longer ${old}`,
      ([name, text]) => document.querySelector<HTMLElement>(`[data-testid="${name}"]`)!.textContent !== text,
      [id, old],
    );
  }
  const after = await readings();
  expect(after.depth).toBeGreaterThan(before.depth!);
  expect(after['done-metres']).toBeGreaterThan(before['done-metres']!);

  async function readings(): Promise<Record<string, number>> {
    const ids = ['depth', 'done-metres', 'pressure', 'feed', 'rotation', 'torque'];
    return Object.fromEntries(await Promise.all(ids.map(async (id) => [id, numberIn(await textOf(page, id))])));
  }
});

/**
 * The demo stream fed step by step: a moment stays on the page for as long as a busy machine takes to look at it.
 * The plan bears with a long silence, so that what stands there does not get old meanwhile.
 */
const steppedDemo = () =>
  liveDemo({ page: pageFolder() }, (plan) => ({ ...plan, stream: { ...plan.stream!, gapAfter: 300 } }));

test('the tool moves on the liner, and the row of the joint at work changes while others stand', async () => {
  const demo = await steppedDemo();
  const { page } = await openPage(demo.at.url);
  await demo.upTo(DEMO_AT.expandingScreen);
  const row = testId(page, 'joint-row-S2');
  await until(page, 'S2 is at work', isCurrent, 'S2');
  const expanded = async (name: string) =>
    numberIn(await wordsOf(testId(page, `joint-row-${name}`).locator('td').nth(1)));
  const tool = async () => (await page.locator('.overview .pointer.is-at-work').boundingBox())!.y;
  const before = { s1: await expanded('S1'), s2: await expanded('S2'), y: await tool() };
  await demo.upTo(DEMO_AT.expandingScreen + 60);
  await soon(() => expanded('S2')).toBeGreaterThan(before.s2 + 0.5);
  await soon(tool).toBeGreaterThan(before.y + 1);
  expect(await expanded('S1')).toBe(before.s1);
  expect(await row.getAttribute('data-verdict')).toBe('in progress');
  expect(await testId(page, 'joint-row-S6').getAttribute('data-verdict')).toBe('not reached');
  // Both tools are drawn with their depths, the upper one above.
  const texts = await page.locator('.close-up .flag-depth').allTextContents();
  expect(numberIn(texts[1]!) - numberIn(texts[0]!)).toBeCloseTo(4.3, 1);
});

const isCurrent = (name: string): boolean =>
  document.querySelector(`[data-testid="joint-row-${name}"]`)?.getAttribute('aria-current') === 'true';

test('low pressure is told with joint, depth and what to look at first, and is closed once it is over', async () => {
  const demo = await steppedDemo();
  const { page } = await openPage(demo.at.url);
  await untilText(page, 'judgement', /^Waiting for a reading/);
  await demo.upTo(DEMO_AT.beforeLowPressure);
  await untilState(page, 'judgement', 'good');
  expect(await testId(page, 'event-open').count()).toBe(0);
  await demo.upTo(DEMO_AT.lowPressure);
  const { event, judgement } = await firstSight(page, 'low pressure', 'bad');
  expect(event).toMatch(/^low pressure S2 at 2 4\d\d\.\d\d m, since \d\d:\d\d:\d\d/i);
  expect(event).toContain(EVENTS['low pressure'].lookFirst);
  expect(judgement).toMatch(/^Not good pressure too low/);
  // Its name is one word in one style: the capital letter is all that is done to it.
  const letterEdge = () =>
    getComputedStyle(document.querySelector('[data-testid="event-open"] .event-head b')!, '::first-letter')
      .borderTopWidth;
  expect(await page.evaluate(letterEdge)).toBe('0px');
  await demo.upTo(DEMO_AT.lowPressureOver);
  await until(page, 'low pressure is closed', closedEvent, 'low pressure');
  // The stretch shows as a gap on the liner, until the second pass repairs it.
  const gaps = page.locator('.close-up .piece-gap');
  await soon(() => gaps.count()).toBe(1);
  await demo.upTo(DEMO_AT.repaired);
  await soon(() => gaps.count()).toBe(0);
});

interface Sight {
  readonly event: string;
  readonly judgement: string;
  readonly phase: string;
}

/** What stands on the page, all at one instant, when an event is open and the judgement is as given. */
async function firstSight(page: Page, kind: string, state: string): Promise<Sight> {
  const sight = await page.waitForFunction(
    ([kind, state]) => {
      const event = document.querySelector<HTMLElement>(`[data-testid="event-open"][data-kind="${kind}"]`);
      const judgement = document.querySelector<HTMLElement>('[data-testid="judgement"]')!;
      if (!event || judgement.dataset.state !== state) return null;
      const phase = document.querySelector<HTMLElement>('[data-testid="phase"]')!;
      // biome-ignore lint/performance/useDomNodeTextContent: what is drawn is what is tested
      return [event, judgement, phase].map((element) => element.innerText);
    },
    [kind, state],
    { timeout: PATIENCE_MS },
  );
  const [event, judgement, phase] = ((await sight.jsonValue()) as string[]).map(plainSpaces);
  return { event: event!, judgement: judgement!, phase: phase! };
}

const closedEvent = (kind: string): boolean =>
  document.querySelector(`[data-testid="event-open"][data-kind="${kind}"]`) === null &&
  document.querySelector(`[data-testid="event-closed"][data-kind="${kind}"]`) !== null;

test('a stall is told on its joint', async () => {
  const demo = await steppedDemo();
  const { page } = await openPage(demo.at.url);
  await demo.upTo(DEMO_AT.stalled);
  const { event, phase } = await firstSight(page, 'stall', 'bad');
  expect(phase).toBe('Stalled in S3');
  expect(event).toMatch(/^rotational stall S3 at 2 4\d\d\.\d\d m, since/i);
  expect(event).toContain(EVENTS.stall.lookFirst);
  await demo.upTo(DEMO_AT.stallOver);
  await until(page, 'the stall is closed', closedEvent, 'stall');
});
