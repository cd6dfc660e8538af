/** The program as users start it, the page as they see it: opened, followed to the end, held against the record. */
import { mkdtemp, readFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import type { RunRecord } from '../../src/record/recordSchema.ts';
import { numberIn, testId, textOf, until, untilText, usePages } from '../support/pages.ts';
import { run, start } from '../support/program.ts';

/** What a slow satellite link can bear for the first look, compressed. */
const PAGE_BYTES = 150_000;

const openPage = usePages();

async function startDemo(speed: number): Promise<string> {
  const { child, ended, firstLine } = start(['demo', '--port', '0', '--speed', String(speed)]);
  onTestFinished(async () => {
    child.kill('SIGTERM');
    await ended;
  });
  const line = await firstLine;
  const url = line.match(/http:\S+/)?.[0];
  expect(line).toContain(`${speed}×`);
  return url!;
}

test('the page opens without a complaint, asks nobody but its own service, and is light', async () => {
  const url = await startDemo(20);
  const { page, complaints, asked, bodyBytes } = await openPage(url);
  await untilText(page, 'phase', /S\d|Z\d/);
  await until(page, 'the traces stand', () => document.querySelectorAll('.traces-area canvas').length >= 5, null);
  await testId(page, 'source').click();
  await page.keyboard.press('Escape');
  const foreign = asked.filter((address) => new URL(address).host !== new URL(url).host);
  expect(foreign).toEqual([]);
  expect(asked.some((address) => address.startsWith('ws:'))).toBe(true);
  // What the policy forbids is a complaint too: it must be in force for this to mean anything.
  expect((await fetch(url)).headers.get('content-security-policy')).toContain("default-src 'self'");
  expect(complaints).toEqual([]);
  const bodies = [...(await bodyBytes())];
  const own = bodies.filter(([path]) => !path.startsWith('/api/'));
  // The page itself, a script and a style at the least.
  expect(own.length).toBeGreaterThanOrEqual(3);
  expect(own.reduce((sum, [, bytes]) => sum + bytes, 0)).toBeLessThanOrEqual(PAGE_BYTES);
});

async function analysed(): Promise<RunRecord> {
  const out = join(await mkdtemp(join(tmpdir(), 'jointwise-')), 'record.json');
  const files = ['--plan', 'replay-data/demo-plan.json', '--in', 'replay-data/demo.wits', '--out', out];
  expect(await run(['analyse', ...files])).toMatchObject({ code: 0, err: '' });
  return JSON.parse(await readFile(out, 'utf8'));
}

/** The rows of the joint table: verdict, expanded metres as written, for each name. */
const rowsShown = (): { name: string; verdict: string; expanded: string }[] =>
  [...document.querySelectorAll<HTMLElement>('tr[data-verdict]')].map((row) => ({
    name: row.dataset.testid!.replace('joint-row-', ''),
    verdict: row.dataset.verdict!,
    expanded: row.querySelectorAll('td')[1]!.textContent,
  }));

test('after the run the page and the live record say what analyse says of the same stream', async () => {
  const url = await startDemo(2000);
  const { page, complaints } = await openPage(url);
  await untilText(page, 'source', /rig stream ended/);
  await untilText(page, 'judgement', /Stream ended/);
  const expected = await analysed();
  const live = (await (await fetch(`${url}api/record`)).json()) as RunRecord;
  for (const part of ['joints', 'phases', 'events', 'minutes'] as const) {
    expect(JSON.stringify(live[part]), part).toBe(JSON.stringify(expected[part]));
  }
  const shown = await page.evaluate(rowsShown);
  expect(shown.map(({ name, verdict }) => `${name} ${verdict}`)).toEqual(
    expected.joints.map(({ name, verdict }) => `${name} ${verdict}`),
  );
  const swept = expected.joints.filter((joint) => joint.expanded > 0);
  expect(swept.length).toBe(8);
  for (const joint of swept) {
    const { expanded } = shown.find(({ name }) => name === joint.name)!;
    expect(Math.abs(numberIn(expanded) - joint.expanded), `${joint.name}: ${expanded}`).toBeLessThanOrEqual(0.0051);
  }
  const total = expected.joints.reduce((sum, joint) => sum + joint.expanded, 0);
  expect(Math.abs(numberIn(await textOf(page, 'done-metres')) - total)).toBeLessThanOrEqual(0.06);
  expect(await testId(page, 'event-open').count()).toBe(0);
  expect(complaints).toEqual([]);
});
