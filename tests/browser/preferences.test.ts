/** Units and theme: switched for the whole page, and kept. */
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { DEMO_AT, startDemoJob } from '../support/demoJob.ts';
import { numberIn, soon, testId, textOf, untilState, untilText, usePages } from '../support/pages.ts';

const openPage = usePages();

/** A page whose numbers stand still, in the middle of expanding a screen. */
async function frozenPage(): Promise<Page> {
  const demo = await startDemoJob(1, DEMO_AT.lowPressure);
  const { page } = await openPage(demo.url);
  await demo.go();
  await untilText(page, 'phase', /S2/);
  demo.relay.cut();
  await untilText(page, 'source', /stream lost/);
  return page;
}

/**
 * Exact by definition: the foot and the pound (international yard and pound agreement, 1959), the US gallon of 231 in³,
 * standard gravity; so 1 psi = 6.894757 kPa.
 */
const METRIC_OF_ONE = {
  ft: 0.3048,
  psi: 6.894757293168,
  klbf: 4.4482216152605,
  kft·lbf: 1.3558179483314,
  gpm: 3.785411784,
};
const FIELD_OF = { m: 'ft', kPa: 'psi', kN: 'klbf', kN·m: 'kft·lbf', 'L/min': 'gpm', 'm/min': 'ft/min', rpm: 'rpm' };
type MetricLabel = keyof typeof FIELD_OF;
const factorOf = (label: MetricLabel): number =>
  label === 'rpm'
    ? 1
    : label === 'm/min'
      ? METRIC_OF_ONE.ft
      : METRIC_OF_ONE[FIELD_OF[label] as keyof typeof METRIC_OF_ONE];

interface Figure {
  readonly where: string;
  readonly label: string;
  readonly text: string;
}

/** Every number of the page that has a unit, with the unit that stands at it. */
function figuresShown(): Figure[] {
  const all = <T extends Element = HTMLElement>(query: string, from: ParentNode = document) => [
    ...from.querySelectorAll<T>(query),
  ];
  const figures: Figure[] = [];
  const add = (where: string, label: string | null | undefined, text: string | null | undefined) =>
    figures.push({ where, label: (label ?? '').trim(), text: (text ?? '').trim() });
  for (const reading of all('.strip .reading:not(.age)')) {
    const head = reading.querySelector('h2')!.textContent;
    const label = head.slice(head.lastIndexOf(',') + 1);
    add(head, label, reading.querySelector('b')!.textContent);
    for (const text of reading
      .querySelector<HTMLElement>('.reading-note')!
      .textContent.split(/ to |at least|at most|of|required/)) {
      if (/\d/.test(text)) add(`${head}, bound`, label, text);
    }
  }
  const where = document.querySelector<HTMLElement>('.say-where')!;
  add('depth', where.textContent.split(/\s/).pop(), where.querySelector('b')!.textContent);
  const units = all('.joints .units td').map((cell) => cell.textContent);
  const pressure = document.querySelector<HTMLElement>('.joints thead .group')!.textContent.split(',')[1]!;
  for (const row of all('tr[data-verdict]')) {
    all('td', row).forEach((cell, i) => {
      const label = i >= 4 && i <= 6 ? pressure : units[i];
      if ([0, 1, 3, 4, 5, 6, 7].includes(i)) add(`${row.dataset.testid} ${i}`, label, cell.textContent);
    });
  }
  for (const curve of all('.traces-curve')) {
    add(
      curve.querySelector('.traces-name')!.textContent!,
      curve.querySelector('.traces-unit')!.textContent,
      curve.querySelector('.traces-value')!.textContent,
    );
  }
  for (const flag of all<SVGTextElement>('.close-up .flag-depth')) add('tool flag', units[0], flag.textContent);
  const place = document.querySelector<HTMLElement>('.event-place')?.textContent.match(/at ([\d\s\u202f.]+) (\S+?),/);
  if (place) add('event', place[2], place[1]);
  return figures;
}

/** Every text of the page with a metric unit in it. */
function metricWords(): string[] {
  const unit = /(^|[\s\d\u202f])(m|kPa|kN|kN·m|L\/min|m\/min)(?=[\s.,;)]|$)/;
  const found: string[] = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const text = node.textContent ?? '';
    if (unit.test(text) && node.parentElement?.tagName !== 'SCRIPT') found.push(text);
  }
  return found;
}

const decimalsOf = (text: string): number => text.split('.')[1]?.length ?? 0;

/** Both are rounded: they agree when they are as near as their roundings let them be. */
function agree(metric: Figure, field: Figure): boolean {
  const factor = factorOf(metric.label as MetricLabel);
  const [m, f] = [numberIn(metric.text), numberIn(field.text)];
  if (Number.isNaN(m) || Number.isNaN(f)) return metric.text === field.text;
  const slack = 0.5001 * (10 ** -decimalsOf(metric.text) + factor * 10 ** -decimalsOf(field.text));
  return Math.abs(m - f * factor) <= slack;
}

const switchTo = async (page: Page, system: string): Promise<void> => {
  await testId(page, 'units-switch').click();
  await untilText(page, 'units-switch', new RegExp(system));
  // The traces write their words with the next frame.
  await page.evaluate(() => new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn))));
};

test('the units switch changes every unit and every number of the page, and back', async () => {
  const page = await frozenPage();
  const metric = await page.evaluate(figuresShown);
  expect(metric.filter(({ text }) => /\d/.test(text)).length).toBeGreaterThan(40);
  const strange = metric.filter(({ label }) => !(label in FIELD_OF));
  expect(strange).toEqual([]);
  await switchTo(page, 'field');
  const field = await page.evaluate(figuresShown);
  expect(field.length).toBe(metric.length);
  const wrongUnit = field.filter(({ label }, i) => label !== FIELD_OF[metric[i]!.label as MetricLabel]);
  expect(wrongUnit).toEqual([]);
  const wrongNumber = field.flatMap((figure, i) => (agree(metric[i]!, figure) ? [] : [[metric[i]!, figure]]));
  expect(wrongNumber).toEqual([]);
  // No metric unit is left anywhere, in words either.
  expect(await page.evaluate(metricWords)).toEqual([]);
  await switchTo(page, 'metric');
  expect(await page.evaluate(figuresShown)).toEqual(metric);
});

test('units and theme are kept over a reload', async () => {
  const demo = await startDemoJob(1, DEMO_AT.expandingScreen);
  const { page } = await openPage(demo.url, { colorScheme: 'light' });
  await demo.go();
  await untilText(page, 'phase', /S2/);
  const theme = () => page.evaluate(() => document.documentElement.dataset.theme);
  const ground = () => page.evaluate(() => getComputedStyle(document.body).backgroundColor);
  expect(await theme()).toBe('light');
  const light = await ground();
  await page.keyboard.press('t');
  await soon(theme).toBe('dark');
  expect(await ground()).not.toBe(light);
  await page.keyboard.press('u');
  await untilText(page, 'units-switch', /field/);
  await page.reload();
  await untilText(page, 'phase', /S2/);
  expect(await theme()).toBe('dark');
  expect(await textOf(page, 'units-switch')).toBe('Units field');
  // 2 440 m and more are over 8 000 ft.
  expect(numberIn(await textOf(page, 'depth'))).toBeGreaterThan(8000);
});

test('without a choice of its own the page goes with the system, and changes with it', async () => {
  const demo = await startDemoJob(1, DEMO_AT.expandingScreen);
  const { page } = await openPage(demo.url, { colorScheme: 'dark' });
  await demo.go();
  await untilState(page, 'age', 'fresh');
  const theme = () => page.evaluate(() => document.documentElement.dataset.theme);
  expect(await theme()).toBe('dark');
  await page.emulateMedia({ colorScheme: 'light' });
  await soon(theme).toBe('light');
});
