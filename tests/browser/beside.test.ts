/** Answers beside the original, scenarios that everyone finds, two of them and two runs side by side, in a real browser. */

import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { expect, onTestFinished, test, vi } from 'vitest';
import { jointStateOf } from '../../src/pipeline/view.ts';
import { jointsBeside } from '../../src/replay/jointsBeside.ts';
import { emptyScenario, type Scenario } from '../../src/replay/scenario.ts';
import { type CountedSide, countSide, courseUnder } from '../../src/replay/whatIf.ts';
import { KeptService, newFolder, removeFolders, STREAM } from '../recording/keptService.ts';
import type { ReadCourse } from '../support/demoCourse.ts';
import { numberIn, plainSpaces, soon, testId, textOf, untilText, usePages } from '../support/pages.ts';
import { recordedService, recordingService } from '../support/recordedService.ts';

const openPage = usePages();
// Runs are played in, counted here too, and drawn by a browser: on a busy machine that takes its time.
vi.setConfig({ testTimeout: 90_000 });

const SHIFTED: Scenario = { ...emptyScenario('a metre and more'), shift: 1.4 };
const STRICT: Scenario = { ...emptyScenario('faster'), bounds: { 'screen rotation min': 29 } };

const counted = ({ course, source }: ReadCourse, scenario: Scenario): CountedSide =>
  countSide(courseUnder(course, scenario), source);

const jointsOf = ({ position: { run } }: CountedSide) => ({
  job: run.job,
  joints: run.job.joints.map(({ index }) => jointStateOf(run, index)),
});

async function open(url: string, hash = ''): Promise<Awaited<ReturnType<typeof openPage>>> {
  const opened = await openPage(url + hash);
  await untilText(opened.page, 'rig-clock', /\d\d:\d\d/);
  return opened;
}

async function ask(page: Page, { name, shift, bounds }: Scenario): Promise<void> {
  await testId(page, 'what-if-name').fill(name);
  await testId(page, 'what-if-shift').fill(shift === 0 ? '' : String(shift));
  for (const [bound, value] of Object.entries(bounds)) await testId(page, `what-if-${bound}`).fill(String(value));
  await testId(page, 'what-if-count').click();
  await soon(async () => plainSpaces(await textOf(page, 'what-if-answer'))).toContain(`What if: ${name}`);
}

async function keep(page: Page, scenario: Scenario, by: string): Promise<void> {
  await ask(page, scenario);
  await testId(page, 'keep-by').fill(by);
  await testId(page, 'keep').click();
  await soon(() => textOf(page, 'kept-scenarios')).toContain(scenario.name);
}

/** Marks of a lane, as depths that the axis gives them. */
const marksOf = (page: Page, lane: 'gained' | 'lost') =>
  page.evaluate(
    (id) =>
      [...document.querySelectorAll<SVGRectElement>(`[data-testid="mark-${id}"]`)].map((mark) => {
        const drawn = mark.ownerSVGElement!.height.baseVal.value;
        return [mark.y.baseVal.value / drawn, (mark.y.baseVal.value + mark.height.baseVal.value) / drawn] as const;
      }),
    lane,
  );

test('the answer stands on the same liner, true to depth: what is lost is marked where it is lost', async () => {
  const { url, demo } = await recordedService();
  const { page, complaints } = await open(url);
  await page.keyboard.press('w');
  await ask(page, SHIFTED);
  const [a, b] = [counted(demo, emptyScenario('original')), counted(demo, SHIFTED)].map(jointsOf) as [
    ReturnType<typeof jointsOf>,
    ReturnType<typeof jointsOf>,
  ];
  const { pairs } = jointsBeside(a, b);
  const liner = b.job.joints;
  const top = liner[0]!.top;
  const long = liner[liner.length - 1]!.bottom - top;
  for (const lane of ['gained', 'lost'] as const) {
    const expected = pairs.flatMap((pair) =>
      pair[lane].map((span) => span.map((m) => (liner[pair.b!]!.top + m - top) / long)),
    );
    const drawn = await marksOf(page, lane);
    // To the least height of a mark, 2 px; marks that nearly touch are one.
    const near = (one: number, other: number) => Math.abs(one - other) < 0.007;
    for (const [from, to] of expected) {
      expect(drawn.some((mark) => mark[0] < from! + 0.007 && mark[1] > to! - 0.007)).toBe(true);
    }
    for (const [from, to] of drawn) {
      expect(expected.some((span) => near(span[0]!, from))).toBe(true);
      expect(expected.some((span) => near(span[1]!, to))).toBe(true);
    }
    const metres = pairs.reduce((sum, pair) => sum + (lane === 'gained' ? pair.gainedM : pair.lostM), 0);
    expect(numberIn((await textOf(page, `what-if-${lane}`)).replace(' m', ''))).toBeCloseTo(metres, 1);
  }
  // Each half has its own pieces, told apart by a pattern and not by colour alone.
  const pieces = await page.evaluate(() =>
    ['half-A', 'half-B'].map((half) =>
      [...document.querySelectorAll(`[data-testid="${half}"] .piece-gap`)].map((piece) => getComputedStyle(piece).fill),
    ),
  );
  const gaps = [a, b].map(({ joints }) =>
    joints.reduce((sum, joint) => sum + joint.gaps.filter(({ cause }) => cause !== 'not reached').length, 0),
  );
  expect(pieces[1]!.length).toBeGreaterThan(pieces[0]!.length);
  expect(gaps[1]).toBeGreaterThan(gaps[0]!);
  for (const fill of pieces.flat()) expect(fill).toContain('#fill-gap');
  const fills = await page.evaluate(() =>
    ['gained', 'lost'].map((lane) => getComputedStyle(document.querySelector(`.lane-mark.is-${lane}`)!).fill),
  );
  expect(fills).toEqual([expect.stringContaining('#fill-gained'), expect.stringContaining('#fill-lost')]);
  // One joint alone, and the rest of the liner is gone.
  await testId(page, 'range-from').selectOption('Z1');
  await soon(async () => (await marksOf(page, 'lost')).filter(([from, to]) => to > 0 && from < 1).length).toBe(1);
  expect(complaints).toEqual([]);
});

test('a scenario is kept for everyone, renamed, shared, removed; the record stays what it was', async () => {
  const { url, service } = await recordedService();
  const before = JSON.stringify(service.live.record());
  const mine = await open(url);
  await mine.page.keyboard.press('w');
  await keep(mine.page, SHIFTED, 'A. Person');
  // Another name is wanted for another scenario, and never that of the run.
  await testId(mine.page, 'what-if-name').fill('as recorded');
  await testId(mine.page, 'what-if-count').click();
  await soon(() => textOf(mine.page, 'what-if-answer')).toContain('What if: as recorded');
  await testId(mine.page, 'keep').click();
  await soon(() => textOf(mine.page, 'keep-fault')).toContain('the run itself');

  const theirs = await open(url);
  await theirs.page.keyboard.press('w');
  await soon(() => textOf(theirs.page, 'kept-scenarios')).toContain(`${SHIFTED.name} A. Person`);
  await theirs.page.getByRole('button', { name: 'Rename' }).click();
  await testId(theirs.page, 'kept-new-name').fill('deeper');
  await theirs.page.getByRole('button', { name: 'Save' }).click();
  // Nobody has said yet who it is: that is asked first.
  expect((await (await fetch(`${url}api/scenarios`)).json()).scenarios[0].by).toBe('A. Person');
  await testId(theirs.page, 'rename-by').fill('B. Person');
  await theirs.page.getByRole('button', { name: 'Save' }).click();
  await soon(() => textOf(theirs.page, 'kept-scenarios')).toContain('deeper B. Person');
  await testId(theirs.page, 'kept-1').locator('.kept-name').click();
  await soon(() => textOf(theirs.page, 'what-if-answer')).toContain('What if: deeper');
  // The first page hears of it while it looks.
  await soon(() => textOf(mine.page, 'kept-scenarios')).toContain('deeper B. Person');

  const link = await testId(theirs.page, 'link').inputValue();
  const shared = await openPage(link);
  await soon(() => textOf(shared.page, 'what-if-lost')).toBe(await textOf(theirs.page, 'what-if-lost'));

  await theirs.page.getByRole('button', { name: 'Remove deeper' }).click();
  await testId(theirs.page, 'kept-scenarios').waitFor({ state: 'detached' });
  expect(JSON.stringify(service.live.record())).toBe(before);
  const refusals = mine.complaints.filter((line) => !line.includes('409'));
  expect([...refusals, ...shared.complaints]).toEqual([]);
});

test('two scenarios side by side, on joint and on depth, in a link that leads there again', async () => {
  const { url, demo } = await recordedService();
  const { page, complaints } = await open(url);
  await page.keyboard.press('w');
  await keep(page, SHIFTED, 'A. Person');
  await page.getByRole('button', { name: 'Clear' }).click();
  await keep(page, STRICT, 'A. Person');
  await page.keyboard.press('Escape');
  // A key is the page's own again once the dialog is gone.
  await testId(page, 'what-if-name').waitFor({ state: 'detached' });
  await page.keyboard.press('v');
  // The run as recorded and the first that is kept stand there until one is chosen.
  await soon(() => textOf(page, 'beside-labels')).toContain('As recorded');
  await testId(page, 'side-A').selectOption('s1');
  await testId(page, 'side-B').selectOption('s2');
  await testId(page, 'beside-joint').click();
  const labels = async () => (await textOf(page, 'beside-labels')).match(/What if: \w+|Not the record/g);
  await soon(labels).toEqual(['What if: a', 'Not the record', 'What if: faster', 'Not the record']);

  const [a, b] = [counted(demo, SHIFTED), counted(demo, STRICT)].map(jointsOf) as [
    ReturnType<typeof jointsOf>,
    ReturnType<typeof jointsOf>,
  ];
  const { pairs } = jointsBeside(a, b);
  const rows = () =>
    page.evaluate(() =>
      [...document.querySelectorAll('[data-testid="joints-beside"] tbody tr')].map((row) =>
        [...row.querySelectorAll('th, td')].map((cell) => cell.textContent),
      ),
    );
  await soon(async () => (await rows()).map((cells) => [cells[0], cells[9], cells[10], cells[13], cells[14]])).toEqual(
    pairs.map((pair) => [
      a.job.joints[pair.a!]!.name,
      a.joints[pair.a!]!.verdict,
      b.joints[pair.b!]!.verdict,
      String(a.joints[pair.a!]!.stalls),
      String(b.joints[pair.b!]!.stalls),
    ]),
  );
  for (const [i, cells] of (await rows()).entries()) {
    expect(numberIn(cells[3]!)).toBeCloseTo(a.joints[pairs[i]!.a!]!.expandedM, 1);
    expect(numberIn(cells[4]!)).toBeCloseTo(b.joints[pairs[i]!.b!]!.expandedM, 1);
  }
  const lost = pairs.reduce((sum, pair) => sum + pair.lostM, 0);
  expect(numberIn(await textOf(page, 'beside-lost'))).toBeCloseTo(lost, 1);

  await testId(page, 'beside-depth').click();
  await testId(page, 'range-from').selectOption('S3');
  const lines = (kind: string) => page.locator(`[data-testid="track-pressure"] .pass-line${kind}`).count();
  await soon(() => lines('.is-second.is-last')).toBe(1);
  expect(await lines('.is-last:not(.is-second)')).toBe(1);
  expect(await testId(page, 'track-feed').count()).toBe(1);
  const link = await testId(page, 'link').inputValue();
  expect(link).toContain('#beside?a=s1&b=s2&by=depth');
  const other = await openPage(link);
  await soon(() => textOf(other.page, 'beside-labels')).toContain('What if: faster');
  await soon(() => testId(other.page, 'liner-B').count()).toBe(1);
  // One that is gone is said to be gone, and nothing is drawn in its place.
  await fetch(`${url}api/scenarios/remove`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ id: 2 }),
  });
  const late = await openPage(link);
  await soon(() => textOf(late.page, 'beside-refused')).toContain('no longer kept');
  expect([...complaints, ...other.complaints, ...late.complaints]).toEqual([]);
});

test('two runs of the library side by side: each with its own plan, samples and scenarios', async () => {
  onTestFinished(removeFolders);
  const data = newFolder();
  const whole = readFileSync(STREAM);
  const bytes = whole.subarray(0, whole.indexOf('!!', 700_000) + 4);
  const before = await KeptService.open(data);
  before.send(bytes);
  await before.settled(bytes.length);
  const theirs = before.live.record()!;
  const { id } = before.opened;
  await before.close();
  const { url, service, now } = await recordingService(data);
  const { page, complaints } = await open(url, `#beside?a=original&b=r${id}&by=joint`);
  await soon(() => textOf(page, 'beside-labels')).toContain('B Run a run');
  const verdicts = () =>
    page.evaluate(() =>
      [...document.querySelectorAll('[data-testid="joints-beside"] tbody tr')].map((row) =>
        [...row.querySelectorAll('td')].slice(8, 10).map((cell) => cell.textContent),
      ),
    );
  const ours = service.live.record()!.joints.filter(({ required }) => required > 0);
  const expected = ours.map(({ name, verdict }) => [
    verdict,
    theirs.joints.find((joint) => joint.name === name)!.verdict,
  ]);
  await soon(verdicts).toEqual(expected);
  expect(theirs.joints.some(({ verdict }) => verdict === 'not reached')).toBe(true);
  await testId(page, 'beside-depth').click();
  await soon(() => page.locator('.pass-line.is-second').count()).toBeGreaterThan(5);
  // Top on top, and both drawings begin at the head of their liner.
  await testId(page, 'zero').selectOption('liner top');
  await soon(() => page.locator('.depth-line text').first().textContent()).toBe('0');

  // The other way round: the recorded run on the main screen, the one that goes on beside it.
  const other = await openPage(`${url}#run=${id}&beside?a=original&b=r${now}&by=joint`);
  await soon(() => textOf(other.page, 'beside-labels')).toContain('B Run the second');
  const swapped = expected.map(([mine, other]) => [other, mine]);
  const theirVerdicts = () =>
    other.page.evaluate(() =>
      [...document.querySelectorAll('[data-testid="joints-beside"] tbody tr')].map((row) =>
        [...row.querySelectorAll('td')].slice(8, 10).map((cell) => cell.textContent),
      ),
    );
  await soon(theirVerdicts).toEqual(swapped);
  // What is asked of it is kept beside it, and not beside the run that goes on.
  const asking = await openPage(`${url}#run=${id}&what-if?name=half&shift=0.5`);
  await soon(() => textOf(asking.page, 'what-if-answer')).toContain('What if: half');
  await testId(asking.page, 'keep-by').fill('A. Person');
  await testId(asking.page, 'keep').click();
  await soon(() => textOf(asking.page, 'kept-scenarios')).toContain('half A. Person');
  expect(readFileSync(`${data}/runs/${id}/scenarios.json`, 'utf8')).toContain('name=half&shift=0.5');
  expect(await testId(asking.page, 'link').inputValue()).toContain(`#run=${id}&what-if?name=half`);
  expect((await (await fetch(`${url}api/scenarios`)).json()).scenarios).toEqual([]);
  expect([...complaints, ...other.complaints, ...asking.complaints]).toEqual([]);
});

test('the run at a glance: joints, phases, events, the hole, and depth between its least and greatest', async () => {
  const { url, service } = await recordedService();
  const { page, complaints } = await open(url);
  await page.keyboard.press('b');
  await testId(page, 'run-strip').waitFor();
  const record = service.live.record()!;
  const worked = record.phases.filter(({ phase }) => /^expanding|^stalled/.test(phase)).map(({ joint }) => joint);
  const inTurn = worked.filter((joint, i) => joint !== worked[i - 1]);
  await soon(() => page.locator('[data-testid="joint-run"] title').allTextContents()).toEqual(inTurn);
  const drawn = await page.evaluate(() => {
    const strip = document.querySelector('[data-testid="run-strip"]')!;
    return {
      events: strip.querySelectorAll('.event-run').length,
      families: strip.querySelectorAll('.phase-run').length,
      hole: strip.querySelector('.hole-run')!.getAttribute('d')!.split('M').length - 1,
      depths: [...strip.querySelectorAll('.depth-end')].map((text) => text.textContent),
    };
  });
  expect(drawn).toMatchObject({ events: record.events.length, hole: 1 });
  expect(drawn.families).toBeGreaterThanOrEqual(4);
  const [shallow, deep] = drawn.depths.map((text) => numberIn(text!.replace(' m', '')));
  expect(deep! - shallow!).toBeGreaterThan(60);
  expect(complaints).toEqual([]);
});
