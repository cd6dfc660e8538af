/** The papers of a run in a real browser: a joint is judged and signed, a changed plan breaks what was signed, links lead to the evidence. */
import { createHash } from 'node:crypto';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { expect, onTestFinished, test, vi } from 'vitest';
import { systemClock } from '../../ingest/clock.ts';
import { RunLibrary } from '../../server/keep/runLibrary.ts';
import { pageFolder } from '../../server/pageFolder.ts';
import { readPlan } from '../../server/plan/readPlan.ts';
import { readThrough, takeIn } from '../../server/recording/readThrough.ts';
import { startLibrary } from '../../server/service.ts';
import type { Plan } from '../../src/plan/planSchema.ts';
import { liveDemo } from '../support/liveDemo.ts';
import { lookFaults } from '../support/looks.ts';
import { plainSpaces, soon, testId, textOf, untilText, usePages, wordsOf } from '../support/pages.ts';
import { readPdf } from '../support/pdfText.ts';
import { recordedService } from '../support/recordedService.ts';

const openPage = usePages();
// Runs are played in, drawn and printed: on a busy machine that takes its time.
vi.setConfig({ testTimeout: 120_000 });

const PLAN = 'replay-data/demo-plan.json';
const QUICK = { secretCost: { N: 1024, r: 8, p: 1 } } as const;
const ANNA = { name: 'Anna Berg', role: 'company man', secret: 'seven green bottles' } as const;
/** A browser says so itself when it is refused something. */
const REFUSED = /Failed to load resource: the server responded with a status of 401/;
/** The same when the live link is refused, which a library without a rig does. */
const NO_LIVE = /WebSocket connection to .* failed|Failed to load resource: the server responded with a status of 404/;

interface Person {
  readonly name: string;
  readonly role: string;
  readonly secret: string;
}

async function enterPerson(page: Page, { name, role, secret }: Person, voucher?: Person): Promise<void> {
  await testId(page, 'papers-people').click();
  await testId(page, 'person-name').fill(name);
  await testId(page, 'person-role').selectOption(role);
  await testId(page, 'person-secret').fill(secret);
  if (voucher) {
    await testId(page, 'voucher-name').fill(voucher.name);
    await testId(page, 'voucher-secret').fill(voucher.secret);
  }
  await testId(page, 'person-add').click();
  await soon(() => textOf(page, 'people')).toContain(plainSpaces(`${name}, ${role}`));
}

/** In the dialog that stands open. */
async function sign(page: Page, { name, secret }: Pick<Person, 'name' | 'secret'>): Promise<void> {
  await testId(page, 'sign-name').fill(name);
  await testId(page, 'sign-secret').fill(secret);
  await testId(page, 'sign-send').click();
}

/** The text that is signed is there to be read, and its hash is that of its bytes. */
async function hashHolds(page: Page): Promise<void> {
  const { hash, text } = await page.evaluate(() => ({
    hash: document.querySelector('[data-testid="sign-hash"]')!.textContent,
    text: document.querySelector('[data-testid="sign-text"]')!.textContent,
  }));
  expect(createHash('sha256').update(text, 'utf8').digest('hex')).toBe(hash);
}

async function openPapers(page: Page): Promise<void> {
  await untilText(page, 'rig-clock', /\d\d:\d\d/);
  await page.keyboard.press('o');
  await testId(page, 'sheet').locator('svg').waitFor();
}

const sheetWords = (page: Page): Promise<string> =>
  page.evaluate(() =>
    [...document.querySelectorAll('[data-testid="sheet"] svg text')].map(({ textContent }) => textContent).join('\n'),
  );
const clockMs = async (page: Page): Promise<number> => Date.parse(`2031-05-12T${await textOf(page, 'rig-clock')}Z`);

/** Follows the first link of a sheet that leads to a gap's moment; what it leads to is on the screen. */
async function followGap(page: Page, joint: string): Promise<void> {
  await testId(page, `sheet-of-${joint}`).click();
  await soon(() => sheetWords(page)).toContain(`Joint ${joint}, screen`);
  // The verdict's link stands first, the gaps' behind it.
  const link = testId(page, 'sheet').locator('a[href^="#at="]').nth(1);
  const href = (await link.getAttribute('href'))!;
  const [, at] = /^#at=([^&]+)&joint=/.exec(href)!;
  await link.click();
  await testId(page, 'replay-sign').or(testId(page, 'recorded-sign')).first().waitFor();
  await testId(page, 'time-bar').waitFor();
  await soon(async () => Math.abs((await clockMs(page)) - Date.parse(at!))).toBeLessThanOrEqual(2000);
  await soon(() => testId(page, `joint-row-${joint}`).getAttribute('aria-selected')).toBe('true');
  // The traces end at that moment: their cursor stands there, or they say when their hour begins.
  const clock = (ms: number): string => new Date(ms).toISOString().slice(11, 16);
  const ms = await clockMs(page);
  await soon(() => wordsOf(page.locator('.traces-moment'))).toMatch(
    new RegExp(`^12 May (${clock(ms - 3_600_000)}:\\d\\d, 60 min|(${clock(ms - 5000)}|${clock(ms)}):\\d\\d)$`),
  );
}

test('a joint is accepted and signed, a changed plan breaks it, it is printed, and the what-if opens beside it', async () => {
  const { url } = await recordedService(QUICK);
  const { page, complaints } = await openPage(url);
  await openPapers(page);
  await enterPerson(page, ANNA);
  await enterPerson(page, { name: 'Ben Clay', role: 'toolpusher', secret: 'eight blue bottles' }, ANNA);

  await testId(page, 'papers-joints').click();
  await testId(page, 'sheet-of-S5').click();
  await testId(page, 'sheet-decide').click();
  await testId(page, 'decide-accept').check();
  await testId(page, 'decide-reason').fill('the gauges show it');
  await testId(page, 'decide-by').fill(ANNA.name);
  await testId(page, 'decide-send').click();
  await soon(() => textOf(page, 'sheet-of-S5')).toBe('S5 unproven, accepted');
  await soon(() => sheetWords(page)).toContain('the gauges show it');

  await testId(page, 'sign-joint').click();
  await testId(page, 'sign-hash').waitFor();
  await hashHolds(page);
  expect(await textOf(page, 'sign-may')).toMatch(/company man.*Of the people known here: Anna Berg\.$/);
  await sign(page, { ...ANNA, secret: 'seven red bottles' });
  await soon(() => textOf(page, 'dialog-sign')).toContain('found nobody, expected one of the people who may sign');
  await sign(page, ANNA);
  await testId(page, 'dialog-sign').waitFor({ state: 'hidden' });
  await soon(() => textOf(page, 'standing')).toBe('1 of 1 signed');

  const plan = structuredClone((await readPlan(PLAN)).plan) as Plan;
  const acceptance = { ...plan.acceptance, coverage: 0.5 };
  const body = JSON.stringify({
    action: 'change plan',
    by: 'Ben Clay',
    reason: 'agreed',
    plan: { ...plan, acceptance },
  });
  const headers = { 'content-type': 'application/json' };
  expect((await fetch(`${url}api/journal`, { method: 'POST', headers, body })).status).toBe(201);
  await soon(() => textOf(page, 'standing')).toBe('no signature holds');
  await testId(page, 'papers-signatures').click();
  await soon(() => textOf(page, 'subject-joint-S5')).toMatch(/by “change plan” of Ben Clay: acceptance/);

  await testId(page, 'papers-report').click();
  await testId(page, 'report-field').check();
  const href = await testId(page, 'report-save').getAttribute('href');
  expect(href).toBe('/api/report.pdf?units=field');
  const pdf = readPdf(new Uint8Array(await (await fetch(new URL(href!, url))).arrayBuffer()));
  const printed = pdf.pages.flatMap(({ texts }) => texts).join('\n');
  expect(printed).toContain('joint: S5');
  expect(plainSpaces(printed)).toMatch(/BROKEN since .*by “change plan” of Ben Clay/);
  expect(printed).toContain('acceptance.coverage');
  expect(pdf.pages.flatMap(({ links }) => links)).toContainEqual(expect.stringMatching(`^${url}#at=.*&joint=S5$`));

  await testId(page, 'papers-joints').click();
  await soon(() => sheetWords(page)).toContain('Joint Z1, isolation');
  // The sheet alone, on one page.
  const paper = (await page.pdf({ format: 'A4' })).toString('latin1');
  expect(paper).toMatch(/^%PDF-/);
  expect(paper.match(/\/Type \/Pages\s*\/Count (\d+)/)![1]).toBe('1');
  await testId(page, 'sheet-what-if').click();
  await testId(page, 'what-if-name').fill('a metre');
  await testId(page, 'what-if-shift').fill('1');
  await testId(page, 'what-if-count').click();
  await soon(() => textOf(page, 'what-if-answer')).toContain('What if: a metre');
  expect(complaints.filter((line) => !REFUSED.test(line))).toEqual([]);
});

test('a gap leads to the traces at that moment, the way back to its sheet; so does an address from outside', async () => {
  const { url } = await recordedService(QUICK);
  const { page, complaints } = await openPage(`${url}#sheet=${encodeURIComponent('joint/S5')}`);
  await soon(() => sheetWords(page)).toContain('Joint S5, screen');
  await followGap(page, 'S5');
  await page.goBack();
  await soon(() => sheetWords(page)).toContain('Joint S5, screen');
  const outside = await openPage(`${url}#at=2031-05-12T04:08:51Z&joint=S2`);
  await testId(outside.page, 'replay-sign').waitFor();
  await soon(() => textOf(outside.page, 'rig-clock')).toMatch(/^04:08:5[01]/);
  await soon(() => testId(outside.page, 'joint-row-S2').getAttribute('aria-selected')).toBe('true');
  expect([...complaints, ...outside.complaints]).toEqual([]);
});

test('a run of the library has its papers too: links lead into it, it is judged and signed', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'jointwise-papers-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const data = join(folder, 'data');
  const report = () => {};
  const nowMs = () => systemClock.nowMs();
  const library = new RunLibrary(data, { nowMs, report });
  const http = { clock: systemClock, host: '127.0.0.1', port: 0, allowedOrigins: [], ...QUICK };
  const service = await startLibrary({ ...http, library, data, report, page: pageFolder() });
  onTestFinished(async () => {
    await service.close();
    await library.end();
  });
  const { text: planText, job } = await readPlan(PLAN);
  async function* chunks() {
    yield readFileSync('replay-data/demo.wits');
  }
  const stream = { name: 'demo.wits', chunks };
  const { format } = await readThrough(stream, job.stream, undefined, () => {});
  const id = await takeIn(library, data, stream, {
    name: 'a trip',
    source: 'demo.wits',
    format,
    planText,
    journal: [],
    nowMs,
  });
  const address = `${service.url}#run=${id}&papers=joints&of=S5`;
  const { page, complaints } = await openPage(address);
  await soon(() => sheetWords(page)).toContain('Joint S5, screen');
  await enterPerson(page, ANNA);
  await testId(page, 'papers-joints').click();
  await testId(page, 'sheet-of-S5').click();
  await testId(page, 'sheet-decide').click();
  await testId(page, 'decide-reject').check();
  await testId(page, 'decide-reason').fill('rolled too fast');
  await testId(page, 'decide-by').fill(ANNA.name);
  await testId(page, 'decide-send').click();
  await soon(() => textOf(page, 'sheet-of-S5')).toBe('S5 unproven, rejected');
  await testId(page, 'sign-joint').click();
  await testId(page, 'sign-hash').waitFor();
  await hashHolds(page);
  await sign(page, ANNA);
  await soon(() => textOf(page, 'standing')).toBe('1 of 1 signed');
  expect(library.list()).toMatchObject([{ id, state: 'closed' }]);
  await followGap(page, 'S5');
  await testId(page, 'papers-switch').click();
  await testId(page, 'papers-report').click();
  const href = (await testId(page, 'report-save').getAttribute('href'))!;
  const pdf = readPdf(new Uint8Array(await (await fetch(new URL(href, service.url))).arrayBuffer()));
  const link = pdf.pages.flatMap(({ links }) => links).find((one) => one.endsWith('&joint=S5'))!;
  expect(link).toContain(`#run=${id}&at=`);
  const printed = await openPage(link);
  await testId(printed.page, 'recorded-sign').waitFor();
  await soon(() => testId(printed.page, 'joint-row-S5').getAttribute('aria-selected')).toBe('true');
  const [, at] = /&at=[^T]*T(\d\d:\d\d)/.exec(link)!;
  await soon(() => textOf(printed.page, 'rig-clock')).toContain(at!);
  expect([...complaints, ...printed.complaints].filter((line) => !NO_LIVE.test(line))).toEqual([]);
});

test('names that would be markup are text everywhere', async () => {
  const hostile = '<img src=x onerror="document.title=1">';
  const renamed = (plan: Plan): Plan => ({
    ...plan,
    job: { ...plan.job, well: hostile },
    liner: {
      ...plan.liner,
      joints: plan.liner.joints.map((one) => (one.name === 'S1' ? { ...one, name: hostile } : one)),
    },
  });
  const demo = await liveDemo({ page: pageFolder(), ...QUICK }, renamed);
  await demo.upTo(1500);
  const person = { name: '<b onclick=x>Eve</b>', role: 'company man', secret: 'nine white bottles' };
  const { page, complaints } = await openPage(demo.at.url);
  await openPapers(page);
  await enterPerson(page, person);
  await testId(page, 'papers-joints').click();
  await page.locator('.papers-list').getByText(hostile, { exact: true }).click();
  await soon(() => sheetWords(page)).toContain(`Joint ${hostile}`);
  await demo.post('/api/journal', { action: 'reject', by: person.name, joint: hostile, reason: hostile });
  await soon(() => sheetWords(page)).toMatch(/^rejected$/m);
  await testId(page, 'sign-joint').click();
  await testId(page, 'sign-hash').waitFor();
  await hashHolds(page);
  await sign(page, person);
  await soon(() => textOf(page, 'standing')).toBe('1 of 1 signed');
  await testId(page, 'papers-signatures').click();
  await soon(() => textOf(page, 'subjects')).toContain('by <b onclick=x>Eve</b>');
  const made = await page.evaluate(() => [
    document.querySelectorAll('img, b[onclick], [onerror]').length,
    document.title,
  ]);
  expect(made).toEqual([0, 'jointwise']);
  expect(complaints).toEqual([]);
});

test('every part is whole and readable in every size and theme', async () => {
  const { url } = await recordedService(QUICK);
  const { page } = await openPage(url);
  await openPapers(page);
  for (const part of ['joints', 'signatures', 'people', 'report']) {
    await testId(page, `papers-${part}`).click();
    await soon(() => testId(page, 'papers').locator('.papers-wait').filter({ visible: true }).count()).toBe(0);
    expect(await lookFaults(page), part).toEqual([]);
  }
  await testId(page, 'papers-signatures').click();
  await testId(page, 'sign-limits').click();
  await testId(page, 'sign-hash').waitFor();
  expect(await lookFaults(page), 'signing').toEqual([]);
});
