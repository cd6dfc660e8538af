/** What the page does not hold is said, with how much it is: old rows of the traces, old notes, closed events. */
import { expect, onTestFinished, test } from 'vitest';
import { pageFolder } from '../../server/pageFolder.ts';
import { startFakeLive } from '../support/fakeLive.ts';
import { liveDemo } from '../support/liveDemo.ts';
import { event, SCENE_START_MS, SCENES, snapshotOf } from '../support/liveScenes.ts';
import { soon, testId, textOf, untilText, usePages } from '../support/pages.ts';
import { clippedTexts } from '../support/screenChecks.ts';

const openPage = usePages();

test('traces whose oldest rows were dropped say where they begin, when their beginning is in sight', async () => {
  const { at, upTo } = await liveDemo({ page: pageFolder() });
  await upTo(2000);
  // As after four days: what the store counts when it has let go of its oldest entry.
  at.live.traces.dropped = at.live.traces.dropRows;
  const { page } = await openPage(at.url);
  await untilText(page, 'rig-clock', /\d\d:\d\d:\d\d/);
  await page.getByRole('button', { name: '10 minutes' }).click();
  await soon(() => textOf(page, 'traces-cut')).toBe('');
  await page.getByRole('button', { name: /^Show the run/ }).click();
  await untilText(
    page,
    'traces-cut',
    /^Traces begin at \d+ [A-Z][a-z]+ \d\d:\d\d:\d\d: older rows are no longer held\.$/,
  );
  expect(await page.evaluate(clippedTexts)).toEqual([]);
});

test('notes that are too many for a page that opens are counted, and those that are there keep their numbers', async () => {
  const { at, upTo, post } = await liveDemo({ page: pageFolder() });
  await upTo(500);
  const NOTES = 80;
  for (let i = 1; i <= NOTES; i++) {
    const entered = await post('/api/journal', {
      action: 'note',
      by: 'A. Person',
      text: `note ${i} ${'x'.repeat(3900)}`,
    });
    expect(entered.status).toBe(201);
  }
  const { page } = await openPage(at.url);
  await untilText(page, 'notes-open', new RegExp(`^${NOTES} notes$`));
  await testId(page, 'notes-open').click();
  await untilText(page, 'notes-left-out', /^\d+ older notes are not shown here/);
  const leftOut = Number.parseInt(await textOf(page, 'notes-left-out'), 10);
  const shown = await page.locator('[data-testid="notes"] > li').count();
  expect([leftOut > 0, leftOut + shown]).toEqual([true, NOTES]);
  const oldest = page.locator('[data-testid="notes"] > li').last();
  expect(await oldest.textContent()).toMatch(new RegExp(`^${leftOut + 1}\\D.*note ${leftOut + 1} x`));
});

test('every closed event is listed when it is asked for, with who acknowledged it and why', async () => {
  const CLOSED = 300;
  const closed = Array.from({ length: CLOSED }, (_, i) =>
    event(i + 1, {
      fromMs: SCENE_START_MS + i * 1000,
      toMs: SCENE_START_MS + i * 1000 + 500,
      acknowledged: { by: 'Night shift', atMs: SCENE_START_MS + i * 1000 + 900, reason: `cause ${i + 1}` },
    }),
  );
  const scene = { ...SCENES.good!(), events: closed };
  const fake = await startFakeLive(pageFolder()!, () => snapshotOf(scene));
  onTestFinished(() => fake.close());
  const { page } = await openPage(fake.url);
  await soon(() => testId(page, 'event-closed').count()).toBe(8);
  await untilText(page, 'closed-more', /^Show 292 more that are closed$/);
  await testId(page, 'closed-more').click();
  await soon(() => testId(page, 'event-closed').count()).toBe(CLOSED);
  expect(await testId(page, 'event-closed').last().textContent()).toMatch(/acknowledged by Night shift, .*: cause 1$/);
  await testId(page, 'closed-more').click();
  await soon(() => testId(page, 'event-closed').count()).toBe(8);
});
