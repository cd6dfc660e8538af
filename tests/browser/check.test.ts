/** The page of the check before the trip: as the service works the demo's plan out, on screen and on paper. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { brotliCompressSync } from 'node:zlib';
import type { Page } from 'playwright-core';
import { expect, onTestFinished, test } from 'vitest';
import { pageFolder } from '../../server/pageFolder.ts';
import type { Check } from '../../src/check/checkSchema.ts';
import { DEMO_AT, startDemoJob } from '../support/demoJob.ts';
import { startFakeLive } from '../support/fakeLive.ts';
import { SCENES, snapshotOf } from '../support/liveScenes.ts';
import { lookFaults } from '../support/looks.ts';
import { numberIn, plainSpaces, soon, testId, textOf, untilText, usePages } from '../support/pages.ts';

const openPage = usePages();
/** Half of what the page may weigh when it is opened: tests/browser/wholeRun.test.ts. */
const PART_BYTES = 75_000;

interface Opened {
  readonly page: Page;
  readonly check: Check;
  readonly complaints: readonly string[];
}

async function opened(hash = '#check'): Promise<Opened> {
  const demo = await startDemoJob(1, DEMO_AT.expandingScreen);
  const { page, complaints } = await openPage(demo.url + hash);
  await demo.go();
  if (hash) await testId(page, 'check-roadmap').waitFor();
  const check = (await (await fetch(`${demo.url}api/check`)).json()) as Check;
  return { page, check, complaints };
}

test('by key and back: the check is fetched when it is looked at, the live screen goes on behind it', async () => {
  const { page, complaints } = await opened('');
  await untilText(page, 'phase', /S2/);
  await page.keyboard.press('c');
  await testId(page, 'check-findings').waitFor();
  expect(new URL(page.url()).hash).toBe('#check');
  expect(await testId(page, 'phase').isVisible()).toBe(false);
  // Who reads the check is still told what goes on.
  expect(await textOf(page, 'check-live')).toMatch(/Expanding screen S2 (Good|Not good)/);
  await page.keyboard.press('Escape');
  await testId(page, 'phase').waitFor({ state: 'visible' });
  expect(await testId(page, 'check').count()).toBe(0);
  await page.goBack();
  await testId(page, 'check').waitFor();
  await testId(page, 'check-live').click();
  await testId(page, 'phase').waitFor({ state: 'visible' });
  // Drawn again at its full size, though it was away.
  await soon(() =>
    page
      .locator('.traces-cell canvas')
      .first()
      .evaluate((canvas) => canvas.clientWidth),
  ).toBeGreaterThan(150);
  expect(complaints).toEqual([]);
});

test('findings come first, most severe first, with mark, word, joint and limit', async () => {
  const { page, check } = await opened();
  const parts = await page
    .locator('.check-part')
    .evaluateAll((all) => all.map((part) => (part as HTMLElement).dataset.testid));
  expect(parts[0]).toBe('check-findings');
  const rows = page.locator('.finding');
  const severities = await rows.evaluateAll((all) => all.map((row) => (row as HTMLElement).dataset.severity!));
  const rank = severities.map((severity) => ['stop', 'warn', 'note'].indexOf(severity));
  expect(rank).toEqual([...rank].sort((a, b) => a - b));
  expect(rank.length).toBeGreaterThan(0);
  const texts = (await rows.allInnerTexts()).map(plainSpaces);
  const serious = check.findings.filter(({ severity }) => severity !== 'note');
  for (const { joint, text } of serious) {
    expect(texts.some((row) => row.includes(plainSpaces(`${joint ?? 'trip'} ${text}`)))).toBe(true);
  }
  expect(await rows.locator('.mark').count()).toBe(severities.length);
  // What is left out here stands in the list of defaults.
  expect(await page.locator('.defaults tr').count()).toBe(check.defaults.length);
  expect(await textOf(page, 'check-caution')).toBe(check.caution);
});

/** 1 psi = 6.894757 kPa, 1 gpm = 3.785412 L/min, 1 ft = 0.3048 m (NIST SP 811, B.8). */
test('the roadmap in both unit systems', async () => {
  const { page, check } = await opened();
  const cells = async (joint: string): Promise<number[]> =>
    (await testId(page, `roadmap-${joint}`).locator('td').allInnerTexts()).map(numberIn);
  for (const row of check.roadmap) {
    const shown = await cells(row.joint);
    expect(shown[0], row.joint).toBeCloseTo(row.depth, 2);
    expect([shown[4], shown[6], shown[7]], row.joint).toEqual([row.flow!, row.tool!, row.standpipe!].map(Math.round));
  }
  await page.keyboard.press('u');
  await untilText(page, 'check-findings', /written in the plan’s metric units/);
  for (const row of check.roadmap) {
    const shown = await cells(row.joint);
    expect(Math.abs(shown[0]! - row.depth / 0.3048)).toBeLessThanOrEqual(0.051);
    expect(Math.abs(shown[4]! - row.flow! / 3.785412)).toBeLessThanOrEqual(0.51);
    expect(Math.abs(shown[6]! - row.tool! / 6.894757)).toBeLessThanOrEqual(0.51);
    expect(Math.abs(shown[7]! - row.standpipe! / 6.894757)).toBeLessThanOrEqual(0.51);
  }
});

test('hydraulics, balls, hole, space-out and fluid stand with their numbers', async () => {
  const demoCheck = (await import('../../src/check/checkSchema.ts')).checkSchema.parse(await demoWithCaliper());
  const live = await startFakeLive(pageFolder(), () => snapshotOf(SCENES.good!()), demoCheck);
  onTestFinished(() => live.close());
  const { page } = await openPage(`${live.url}#check`);
  await testId(page, 'check-hole').waitFor();
  const { rheology } = demoCheck.hydraulics;
  for (const fit of rheology!.fits) {
    expect(await textOf(page, `fit-${fit.model}`)).toContain(`${fit.residual.toFixed(2)}°`);
  }
  expect(await page.locator('.fits .is-taken').count()).toBe(1);
  expect(await textOf(page, `fit-${rheology!.chosen}`)).toContain(rheology!.chosen);
  for (const ball of demoCheck.balls) expect(await textOf(page, 'check-balls')).toContain(ball.name);
  for (const joint of demoCheck.hole!.joints) {
    const words = (await testId(page, `hole-${joint.joint}`).locator('td').allInnerTexts())[1];
    const share = joint.inGauge * 100;
    expect(words).toBe(share > 99.5 && share < 100 ? '>99' : share.toFixed(0));
  }
  // Told apart by filling: as many fillings as there are kinds of share.
  const fills = await page
    .locator('.hole-legend rect')
    .evaluateAll((all) => all.map((rect) => getComputedStyle(rect).fill));
  expect(new Set(fills).size).toBe(4);
  const { spaceOut } = demoCheck.hole!;
  expect(await textOf(page, 'space-out-says')).toContain(`${spaceOut!.inGauge.toFixed(2)} with the liner`);
  expect(await textOf(page, 'fluid-verdict')).toMatch(new RegExp(demoCheck.fluid!.verdict, 'i'));
  expect(await lookFaults(page)).toEqual([]);
});

/** The check that the program writes for the demo's plan and its caliper log. */
async function demoWithCaliper(): Promise<unknown> {
  const { run } = await import('../support/program.ts');
  const { code, out } = await run([
    'check',
    '--plan',
    'replay-data/demo-plan.json',
    '--caliper',
    'replay-data/demo-caliper.csv',
  ]);
  expect(code).toBe(0);
  return JSON.parse(out);
}

test('by keyboard: Tab reaches the parts, Enter goes to one', async () => {
  const { page } = await opened();
  for (let i = 0; i < 20; i++) {
    await page.keyboard.press('Tab');
    if ((await page.evaluate(() => document.activeElement?.textContent)) === 'Defaults') break;
  }
  await page.keyboard.press('Enter');
  expect(await page.evaluate(() => document.activeElement?.id)).toBe('check-defaults');
  const heading = page.locator('#check-defaults');
  const head = (await page.locator('.check-head').boundingBox())!;
  expect((await heading.boundingBox())!.y).toBeGreaterThanOrEqual(head.y + head.height - 1);
  expect(await heading.evaluate((element) => element.getBoundingClientRect().bottom < innerHeight)).toBe(true);
});

test('each look: no scrolling of the page, nothing cut off sideways, enough contrast', async () => {
  const { page } = await opened();
  expect(await lookFaults(page)).toEqual([]);
});

test('on paper: the whole check in black and white, and nothing that only a screen can do', async () => {
  const { page } = await opened();
  await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
  for (const part of ['.masthead', '.check-parts', '.check-live']) {
    expect(await page.locator(part).first().isVisible(), part).toBe(false);
  }
  const paper = await page.evaluate(() => {
    const view = document.querySelector<HTMLElement>('.check-view')!;
    const colours = [...view.querySelectorAll<HTMLElement>('th, td, h2, p, .mark-body')].map((element) => {
      const { color, fill } = getComputedStyle(element);
      return element instanceof SVGElement ? fill : color;
    });
    return { scrolls: view.scrollHeight > view.clientHeight + 1, colours: [...new Set(colours)] };
  });
  expect(paper.scrolls).toBe(false);
  for (const colour of paper.colours) {
    const [r, g, b] = colour.match(/\d+/g)!;
    expect(r === g && g === b, colour).toBe(true);
  }
});

test('a service that has no check is said to have none', async () => {
  const live = await startFakeLive(pageFolder(), () => snapshotOf(SCENES.good!()));
  onTestFinished(() => live.close());
  const { page } = await openPage(`${live.url}#check`);
  await untilText(page, 'check-wait', /There is no check: the service answered 404/);
  await page.keyboard.press('c');
  await testId(page, 'phase').waitFor({ state: 'visible' });
});

test('what the page fetches later, a view or the worker that counts a run again, is light too', () => {
  const later = readdirSync(pageFolder(), { recursive: true, encoding: 'utf8' }).filter((name) => name.endsWith('.js'));
  for (const part of ['CheckView', 'ReplayView', 'replayWorker'])
    expect(
      later.some((name) => name.includes(part)),
      part,
    ).toBe(true);
  const heavy = later.filter((name) => brotliCompressSync(readFileSync(join(pageFolder(), name))).length > PART_BYTES);
  expect(heavy).toEqual([]);
});
