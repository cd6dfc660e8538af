/** What happens at the tool, on the live screen: pressure worked out twice, the depth that is offered, the steps. */
import type { Page } from 'playwright-core';
import { expect, onTestFinished, test } from 'vitest';
import { pageFolder } from '../../server/pageFolder.ts';
import { DEMO_AT, startDemoJob } from '../support/demoJob.ts';
import { type FakeLive, startFakeLive } from '../support/fakeLive.ts';
import { nowAt, OFFER, OPEN_TEST, SCENES, STEPS, snapshotOf } from '../support/liveScenes.ts';
import { drawn, lookFaults } from '../support/looks.ts';
import { numberIn, RIG_PANEL, soon, testId, textOf, untilText, usePages, wordsOf } from '../support/pages.ts';

const openPage = usePages();
/** What a gloved finger hits, CSS px: common practice. */
const TOUCH_PX = 48;

async function scene(name: string): Promise<{ page: Page; live: FakeLive }> {
  const live = await startFakeLive(pageFolder(), () => snapshotOf(SCENES[name]!()));
  onTestFinished(() => live.close());
  const { page } = await openPage(live.url);
  await untilText(page, 'judgement', /Good|Not good|Not expanding/);
  return { page, live };
}

test('a recipe judged at the tool: the strip shows that pressure against its window, the standpipe smaller', async () => {
  const { page } = await scene('at the tool');
  const strip = page.locator('.reading-pressure');
  expect(await wordsOf(strip.locator('h2'))).toBe('Tool pressure, kPa');
  expect(numberIn(await textOf(page, 'pressure'))).toBe(7320);
  expect(await textOf(page, 'pressure-more')).toBe('standpipe 9 140');
  expect(await strip.getAttribute('data-state')).toBe('within');
  const size = (id: string) =>
    testId(page, id).evaluate((element) => Number.parseFloat(getComputedStyle(element).fontSize));
  expect(await size('pressure')).toBeGreaterThanOrEqual(32);
  expect(await size('pressure-more')).toBeLessThan(await size('pressure'));
  expect(await textOf(page, 'tool-pressure')).toBe(
    'Pressure at the tool, kPa 7 320 ± 110 from standpipe 7 410 from flow losses calibrated 13:02, 3 rates, low path open',
  );
  expect(await textOf(page, 'depth-sigma')).toBe('± 0.06');
  expect(await textOf(page, 'tool-depth')).toMatch(/± 0\.06 stretch \+0\.12 corrected by the tag/);
  expect(await textOf(page, 'tool-weight')).toMatch(/24 kN 3\.1 kN·m/);
  expect(await textOf(page, 'feed-more')).toBe('40 mm/turn, max 45');
  expect(await textOf(page, 'tool-finish')).toBe('Done by, rig time S3 13:39 to 13:48 trip 18:46 to 01:26 +1 d');
});

/** 1 psi = 6.894757 kPa, 1 ft = 0.3048 m, 1 in = 25.4 mm, 1 klbf = 4.448222 kN (NIST SP 811, B.8). */
test('the same in field units', async () => {
  const { page } = await scene('at the tool');
  await page.keyboard.press('u');
  await untilText(page, 'units-switch', /field/);
  expect(numberIn(await textOf(page, 'pressure'))).toBe(1062);
  expect(await textOf(page, 'pressure-more')).toBe('standpipe 1 326');
  expect(await textOf(page, 'tool-pressure')).toMatch(
    /psi 1 062 ± 16 from standpipe 1 075 from flow losses calibrated 13:02/,
  );
  expect(await textOf(page, 'tool-depth')).toMatch(/, ft ± 0\.2 stretch \+0\.4/);
  expect(await textOf(page, 'tool-weight')).toMatch(/5 klbf 2\.3 kft·lbf/);
  expect(await textOf(page, 'feed-more')).toBe('1.57 in/turn, max 1.77');
});

test('judged at the standpipe the strip keeps the standpipe, the tool stands beside; without a string neither is made up', async () => {
  const { page, live } = await scene('at the tool');
  const { now } = SCENES['at the tool']!();
  live.play({ now: { ...now!, bounds: nowAt(2467.9).bounds } });
  await untilText(page, 'pressure-more', /at the tool/);
  expect(numberIn(await textOf(page, 'pressure'))).toBe(9140);
  expect(await textOf(page, 'pressure-more')).toBe('at the tool 7 320');
  live.play({ now: nowAt(2467.9, { setDown: null, torqueOnTool: null, feedPerTurn: null }) });
  await testId(page, 'tool-pressure').waitFor({ state: 'detached' });
  expect(await textOf(page, 'pressure-more')).toBe('');
  expect(await textOf(page, 'feed-more')).toBe('');
  expect(await testId(page, 'tool-weight').count()).toBe(0);
  expect(await testId(page, 'tool-finish').count()).toBe(0);
  expect(await page.locator('.traces-of-toolPressure').isVisible()).toBe(false);
});

test('a pressure that is too low at the tool is wrong, also where the standpipe reads within the window', async () => {
  const { page } = await scene('low at the tool');
  expect(await page.locator('.reading-pressure').getAttribute('class')).toContain('is-abnormal');
  expect(await textOf(page, 'feed-more')).toBe('52 mm/turn, max 45');
  expect(await page.locator('.reading-more.is-bad').count()).toBe(1);
  expect(await textOf(page, 'tool-pressure')).toContain('losses by the model, ± 9 %, low path open');
  // Losses come before what is more urgent by its row, and say who decides.
  const events = testId(page, 'event-open');
  expect(await events.evaluateAll((list) => list.map((item) => (item as HTMLElement).dataset.kind))).toEqual([
    'losses',
    'low pressure',
    'washout',
  ]);
  const [losses, , washout] = await events.allInnerTexts();
  expect(losses).toContain('Well control comes first');
  expect(washout).toMatch(/May also be: a pump that delivers less/);
  // A verdict that its own uncertainty could turn says so.
  expect(await textOf(page, 'joint-row-S2')).toMatch(/short ±/);
});

test('an offered depth: both depths, the difference; confirmed by finger it is entered once, and the offer is gone', async () => {
  const { page, live } = await scene('depth offered');
  expect(await textOf(page, 'tool-offer')).toMatch(
    /upper tool, m shown 2 422\.90 shear device 2 421\.10 would move by −1\.80, set-down 52 kN/,
  );
  const box = (await testId(page, 'offer-confirm').boundingBox())!;
  expect(Math.min(box.width, box.height)).toBeGreaterThanOrEqual(TOUCH_PX);
  await testId(page, 'offer-confirm').click();
  const dialog = testId(page, 'dialog-confirm');
  await dialog.waitFor({ state: 'visible' });
  expect(await textOf(page, 'confirm-difference')).toBe('−1.80 m');
  // Without a name nothing is sent.
  await testId(page, 'confirm-send').click();
  expect(live.entered).toEqual([]);
  await testId(page, 'confirm-by').fill('A. Person');
  await testId(page, 'confirm-send').click();
  await dialog.waitFor({ state: 'hidden' });
  expect(live.entered).toEqual([
    { action: 'set depth', by: 'A. Person', tool: 'upper', depth: 2421.1, confirms: OFFER.step },
  ]);
  await untilText(page, 'tool-offer', /Confirmed/);
  const { now } = SCENES['depth offered']!();
  live.play({
    now: {
      ...now!,
      toolDepths: [OFFER.tagged, OFFER.tagged + 4.3],
      depthAtTool: { sigma: 0.05, stretch: 0.12, corrected: 'by the tag', offer: null },
    },
  });
  await untilText(page, 'tool-depth', /corrected by the tag/);
  expect(numberIn(await textOf(page, 'depth'))).toBe(2421.1);
});

test('the same by keyboard alone, in field units; a refusal is told, and the name is asked once', async () => {
  const { page, live } = await scene('depth offered');
  live.answerEntries(409, { error: 'the entry: found no sample yet, expected a run' });
  await page.keyboard.press('u');
  await page.keyboard.press('d');
  await soon(() => page.evaluate(() => (document.activeElement as HTMLElement).dataset.testid)).toBe('confirm-by');
  // −1.80 m = −5.9 ft
  expect(await textOf(page, 'confirm-difference')).toBe('−5.9 ft');
  await page.keyboard.type('A. Person');
  await page.keyboard.press('Enter');
  await untilText(page, 'dialog-confirm', /Not entered: the entry: found no sample yet/);
  await page.keyboard.press('Escape');
  expect(await textOf(page, 'tool-offer')).toContain('Confirm');
  live.answerEntries(201, { effect: 'moved', kept: 'file' });
  await page.reload();
  await untilText(page, 'judgement', /Not expanding/);
  await page.keyboard.press('d');
  await soon(() => page.evaluate(() => (document.activeElement as HTMLElement).dataset.testid)).toBe('confirm-send');
  await page.keyboard.press('Enter');
  await untilText(page, 'tool-offer', /Confirmed/);
  // In the plan's units, whatever the viewer's are.
  const sent = { action: 'set depth', by: 'A. Person', tool: 'upper', depth: 2421.1, confirms: OFFER.step };
  expect(live.entered).toEqual([sent, sent]);
});

test('steps: the one underway stands on the screen, all with outcome and numbers in the list', async () => {
  const { page, live } = await scene('depth offered');
  expect(await textOf(page, 'tool-steps')).toMatch(/Annulus test holding 6900 kPa, 6 of 10 min/i);
  await page.keyboard.press('g');
  const list = testId(page, 'dialog-steps');
  await list.waitFor({ state: 'visible' });
  const shown = testId(page, 'step');
  expect(await shown.evaluateAll((all) => all.map((step) => (step as HTMLElement).dataset.outcome))).toEqual([
    'open',
    'not proven',
    'failed',
    'passed',
    'passed',
  ]);
  const texts = await shown.allInnerTexts();
  expect(texts[0]).toMatch(/annulus test\s+underway\s+since 13:24:00/i);
  expect(texts[2]).toMatch(/push and pull\s+failed[\s\S]*210 kN[\s\S]*0\.14 m/i);
  live.play({ steps: [...STEPS, { ...OPEN_TEST, outcome: 'passed', toMs: OPEN_TEST.fromMs + 600_000 }] });
  await soon(() => shown.first().getAttribute('data-outcome')).toBe('passed');
  await page.keyboard.press('Escape');
  expect(await testId(page, 'tool-steps').getAttribute('data-outcome')).toBe('passed');
  await testId(page, 'tool-steps').click();
  await list.waitFor({ state: 'visible' });
});

test.each(['at the tool', 'low at the tool', 'depth offered'])(
  '%s: one screen, nothing cut off, enough contrast',
  async (name) => {
    const { page } = await scene(name);
    expect(await lookFaults(page)).toEqual([]);
    await page.setViewportSize(RIG_PANEL);
    await page.keyboard.press('u');
    await drawn(page);
    expect(await lookFaults(page)).toEqual([]);
  },
);

test('old figures at the tool are struck out too', async () => {
  const { page } = await scene('at the tool');
  await untilText(page, 'judgement', /No data/);
  const struck = await page
    .locator('.tool-bar .live')
    .evaluateAll((all) => all.map((element) => getComputedStyle(element).textDecorationLine));
  expect(struck.length).toBeGreaterThan(3);
  expect(new Set(struck)).toEqual(new Set(['line-through']));
});

/** The service, its pipeline and its journal, all real: what is entered on the page comes back as a step. */
test('a ball that is let go is entered by hand, and stands among the steps as underway', async () => {
  const demo = await startDemoJob(1, DEMO_AT.expandingScreen);
  const { page, complaints } = await openPage(demo.url);
  await demo.go();
  await untilText(page, 'phase', /S2/);
  await page.keyboard.press('g');
  await testId(page, 'dialog-steps').waitFor({ state: 'visible' });
  const balls = demo.service.live.plan.balls!.map(({ name }) => name);
  expect(balls.length).toBeGreaterThan(0);
  const button = testId(page, `ball-${balls.at(-1)}`);
  expect((await button.boundingBox())!.height).toBeGreaterThanOrEqual(TOUCH_PX);
  await testId(page, 'ball-by').fill('A. Person');
  await button.click();
  await button.waitFor({ state: 'detached' });
  await soon(() => wordsOf(testId(page, 'step'))).toMatch(new RegExp(`${balls.at(-1)}[\\s\\S]*underway`, 'i'));
  expect(complaints).toEqual([]);
});

/** The set-down on the shear device as a rig plays it whose depth is 1.8 m off; one dialog is opened on each of two pages. */
test('a tag on a real run: offered, confirmed once, and every depth after it is right', async () => {
  const demo = await startDemoJob(4, 450, (scenario) => ({
    ...scenario,
    rig: { ...scenario.rig, depthError: 1.8 },
    tag: { share: 1.5 },
  }));
  const { page } = await openPage(demo.url);
  await demo.go();
  await testId(page, 'tool-offer').waitFor();
  const { depthAtTool, toolDepths } = demo.service.live.snapshot(0).now!;
  const { shown, tagged, step } = depthAtTool.offer!;
  expect(tagged - shown).toBeCloseTo(-1.8, 1);
  expect(toolDepths[0]! - tagged).toBeGreaterThan(1.5);
  await page.keyboard.press('d');
  await testId(page, 'confirm-by').fill('A. Person');
  await page.keyboard.press('Enter');
  await untilText(page, 'tool-depth', /corrected by the tag/);
  expect(demo.service.live.snapshot(0).now!.depthCorrection).toBeCloseTo(tagged - shown, 1);
  await page.keyboard.press('g');
  await soon(() => wordsOf(testId(page, 'step'))).toMatch(/depth tag[\s\S]*passed/i);
  // Another who still sees the offer can no longer take it over: the tool has moved since.
  const answer = await fetch(`${demo.url}api/journal`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ action: 'set depth', by: 'B', tool: 'upper', depth: tagged, confirms: step }),
  });
  expect([answer.status, await answer.json()]).toEqual([
    409,
    { error: 'the depth tag: found it settled already, expected one that waits' },
  ]);
});
