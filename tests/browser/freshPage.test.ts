/** What a page says of the data while it loads and while it is held up: never that there is none while samples come in. */
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { DEMO_AT, startDemoJob } from '../support/demoJob.ts';
import { soon, untilState, untilText, usePages } from '../support/pages.ts';

const openPage = usePages();

/** Keeps, in the page, each new sentence of the judgement, from the first paint on. */
function noteWhatIsSaid(): void {
  const said: string[] = [];
  Object.assign(window, { said });
  const note = (): void => {
    const text = document.querySelector<HTMLElement>('[data-testid="judgement"]')?.textContent ?? '';
    if (text !== '' && text !== said.at(-1)) said.push(text);
  };
  new MutationObserver(note).observe(document, {
    subtree: true,
    childList: true,
    characterData: true,
    attributes: true,
  });
}
const saidOn = (page: Page): Promise<string[]> => page.evaluate(() => (window as unknown as { said: string[] }).said);
const NO_DATA = /no data/i;

/** As on a rig: a machine that is busy with other tests does not itself hold the samples up for the five seconds of the plan. */
const RATE = 1;
const HELD_UP_MS = 5500;

/** The demo, samples coming in, and a page that has opened nothing yet. */
async function blankPage(): Promise<{ page: Page; url: string; samples: () => number }> {
  const demo = await startDemoJob(RATE, DEMO_AT.expandingScreen);
  await demo.go();
  const samples = () => demo.service.live.ingest().samples;
  await soon(samples).toBeGreaterThan(100);
  const { page } = await openPage('about:blank');
  await page.addInitScript(noteWhatIsSaid);
  return { page, url: demo.url, samples };
}

test('a page opened on a slow machine while samples come in never says that there are none', async () => {
  const { page, url } = await blankPage();
  const session = await page.context().newCDPSession(page);
  await session.send('Emulation.setCPUThrottlingRate', { rate: 8 });
  for (let load = 0; load < 3; load++) {
    await page.goto(url);
    await untilState(page, 'age', 'fresh');
    await untilText(page, 'judgement', /Good|Not good|Not expanding/);
    const said = await saidOn(page);
    expect(said.length).toBeGreaterThan(0);
    expect(said.filter((text) => NO_DATA.test(text))).toEqual([]);
  }
});

test('a page that was held up for longer than data stays fresh does not say that there is none', async () => {
  const { page, url, samples } = await blankPage();
  await page.goto(url);
  await untilState(page, 'age', 'fresh');
  const before = samples();
  await page.evaluate((ms) => {
    const until = performance.now() + ms;
    while (performance.now() < until);
  }, HELD_UP_MS);
  expect(samples()).toBeGreaterThan(before + 3);
  await page.evaluate(() => new Promise((next) => setTimeout(next, 300)));
  expect((await saidOn(page)).filter((text) => NO_DATA.test(text))).toEqual([]);
});
