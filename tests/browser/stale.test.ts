/** Old numbers can be told from new ones at a glance: the stream cut, mended, ended; the service killed and back. */
import type { Page } from 'playwright-core';
import { expect, onTestFinished, test } from 'vitest';
import { readScenario } from '../../server/cli/readScenario.ts';
import { scenarioPlayer } from '../../server/cli/simulate.ts';
import { DEMO_AT, startDemoJob } from '../support/demoJob.ts';
import { soon, testId, textOf, untilState, untilText, usePages } from '../support/pages.ts';
import { type Program, start } from '../support/program.ts';

const openPage = usePages();
/** Of the demo's plan, rig seconds. */
const GAP_AFTER_S = 5;

/** How each live number is drawn: struck out or not. */
const struckOut = (page: Page): Promise<Record<string, boolean>> =>
  page.evaluate(() => {
    const lined = (element: Element | null): boolean => {
      for (let at = element; at; at = at.parentElement) {
        if (getComputedStyle(at).textDecorationLine.includes('line-through')) return true;
        if (getComputedStyle(at).display !== 'inline') return false;
      }
      return false;
    };
    const ids = ['depth', 'pressure', 'feed', 'rotation', 'torque'];
    return Object.fromEntries(ids.map((id) => [id, lined(document.querySelector(`[data-testid="${id}"]`))]));
  });
const ALL_LIVE = { depth: true, pressure: true, feed: true, rotation: true, torque: true };
const NONE_LIVE = { depth: false, pressure: false, feed: false, rotation: false, torque: false };

/** Seconds, as the age is written: `6.6 s`, `42 s`, `3:05 min`. */
async function ageS(page: Page): Promise<number> {
  const text = await textOf(page, 'age');
  const [, number] = text.match(/Age of data ([\d:.]+)/)!;
  return number!.split(':').reduce((sum, part) => sum * 60 + Number(part), 0);
}

/** Keeps, in the page, the age that was written when the data was first called old. */
const noteFirstStale = (page: Page): Promise<void> =>
  page.evaluate(() => {
    const age = document.querySelector<HTMLElement>('[data-testid="age"]')!;
    new MutationObserver(() => {
      if (age.dataset.state === 'stale') age.dataset.firstStale ??= age.querySelector('b')!.textContent ?? '';
    }).observe(age, { attributes: true, childList: true, characterData: true, subtree: true });
  });

test('a stream that stops strikes the live numbers out, the age counts up, and both end when data comes back', async () => {
  const demo = await startDemoJob(2, DEMO_AT.expandingScreen);
  const { page, complaints } = await openPage(demo.url);
  await demo.go();
  await untilText(page, 'phase', /S2/);
  await untilState(page, 'age', 'fresh');
  expect(await struckOut(page)).toEqual(NONE_LIVE);
  await noteFirstStale(page);
  demo.relay.cut();
  await untilState(page, 'age', 'stale');
  expect(await struckOut(page)).toEqual(ALL_LIVE);
  const first = Number(await testId(page, 'age').getAttribute('data-first-stale'));
  expect(first).toBeGreaterThanOrEqual(GAP_AFTER_S);
  expect(first).toBeLessThan(2 * GAP_AFTER_S);
  expect(await textOf(page, 'judgement')).toMatch(/^No data/);
  await untilText(page, 'source', /rig stream lost|calling the rig stream/);
  const age = await ageS(page);
  await soon(() => ageS(page)).toBeGreaterThan(age + 2);
  // What was expanded stays true, however old.
  expect(await testId(page, 'done-metres').evaluate((b) => getComputedStyle(b).textDecorationLine)).toBe('none');
  demo.relay.mend();
  await untilState(page, 'age', 'fresh');
  await soon(() => struckOut(page)).toEqual(NONE_LIVE);
  await soon(() => ageS(page)).toBeLessThan(GAP_AFTER_S);
  await untilText(page, 'source', /rig stream connected/);
  expect(complaints).toEqual([]);
});

test('a run that is over is told as such', async () => {
  const demo = await startDemoJob(100, DEMO_AT.expandingScreen);
  const { page } = await openPage(demo.url);
  await demo.go();
  await untilText(page, 'phase', /S2/);
  await demo.service.live.endSource('the test ends it');
  await untilState(page, 'age', 'stale');
  await untilText(page, 'judgement', /^Stream ended/);
  expect(await struckOut(page)).toEqual(ALL_LIVE);
});

async function serve(rigPort: number, port: number): Promise<{ program: Program; url: string }> {
  const source = ['--connect', `127.0.0.1:${rigPort}`, '--wait', '--rate', '4'];
  const program = start(['serve', '--plan', 'replay-data/demo-plan.json', ...source, '--port', String(port)]);
  onTestFinished(async () => {
    program.child.kill('SIGKILL');
    await program.ended;
  });
  const line = await program.firstLine;
  return { program, url: line.match(/http:\S+/)![0] };
}

test('a killed service is told as a lost link; one started again on its port is found without a reload', async () => {
  const scenario = await readScenario();
  const player = scenarioPlayer(scenario, { speed: 4, host: '127.0.0.1', port: 0, startAtS: DEMO_AT.expandingScreen });
  onTestFinished(() => player.close());
  const rig = await player.start();
  const first = await serve(rig.port, 0);
  const { page } = await openPage(first.url);
  await untilText(page, 'phase', /S2/);
  await page.evaluate(() => {
    document.body.dataset.same = 'page';
  });
  first.program.child.kill('SIGKILL');
  await first.program.ended;
  await untilText(page, 'judgement', /^Link to the service lost/);
  await untilState(page, 'age', 'link lost');
  expect(await textOf(page, 'source')).toMatch(/^service lost/);
  expect(await struckOut(page)).toEqual(ALL_LIVE);
  await serve(rig.port, Number(new URL(first.url).port));
  await untilState(page, 'age', 'fresh');
  await untilText(page, 'source', /rig stream connected/);
  await soon(() => struckOut(page)).toEqual(NONE_LIVE);
  expect(await page.evaluate(() => document.body.dataset.same)).toBe('page');
});
