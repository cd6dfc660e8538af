/** The looks at the screen are held against pages whose faults are known. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { launchBrowser } from '../support/browser.ts';
import { clippedTexts, faintTexts } from '../support/screenChecks.ts';

let browser: Browser;
let page: Page;
beforeAll(async () => {
  browser = await launchBrowser();
  page = await browser.newPage({ locale: 'en-US', viewport: { width: 400, height: 300 } });
});
afterAll(() => browser?.close());

const draw = (body: string): Promise<void> =>
  page.setContent(`<style>* { margin: 0; font: 16px/1.2 sans-serif }</style>${body}`);

/** #767676 on white is the lightest grey that passes 4.5 to 1: published with WCAG 2, technique G18 (from memory). */
const FAINT: readonly (readonly [body: string, found: readonly string[]])[] = [
  ['<p style="color:#767676">passes</p>', []],
  ['<p style="color:#777">grey</p>', ['"grey" in P: 4.48 to 1']],
  ['<p style="color:#777; font-size:24px">large grey</p>', []],
  ['<p style="color:#aaa; font-size:24px">large faint</p>', ['"large faint" in P: 2.32 to 1']],
  ['<div style="background:#000"><p style="color:#000">hidden</p></div>', ['"hidden" in P: 1.00 to 1']],
  ['<p style="opacity:.4">dimmed</p>', ['"dimmed" in P: 2.85 to 1']],
  ['<div style="background:rgba(0,0,0,.5)"><p style="color:#fff">half</p></div>', ['"half" in P: 4.00 to 1']],
  [
    '<div style="background:repeating-linear-gradient(90deg,#fff 0 9px,#ccc 9px 18px)"><p style="color:#666">on stripes</p></div>',
    ['"on stripes" in P: 3.58 to 1'],
  ],
];
test.each(FAINT)('contrast of %s', async (body, found) => {
  await draw(body);
  expect(await page.evaluate(faintTexts)).toEqual(found);
});

const CLIPPED: readonly (readonly [body: string, found: readonly string[]])[] = [
  ['<div class="box" style="width:300px; overflow:hidden">short</div>', []],
  [
    '<div class="box" style="width:30px; overflow:hidden; white-space:nowrap">far too long</div>',
    ['"far too long" (sideways by box)'],
  ],
  [
    '<div class="box" style="width:30px; overflow:hidden; text-overflow:ellipsis; white-space:nowrap">far too long</div>',
    ['"far too long" (sideways by box)'],
  ],
  ['<div class="box" style="height:20px; overflow:hidden"><p>one</p><p>two</p></div>', ['"two" (in height by box)']],
  ['<div class="box" style="height:20px; overflow:auto"><p>one</p><p>two</p></div>', []],
  ['<p style="width:900px; text-align:right">outside</p>', ['"outside" (by the window)']],
  ['<p style="position:absolute; width:1px; height:1px; overflow:hidden">for listeners only</p>', []],
];
test.each(CLIPPED)('what is cut off in %s', async (body, found) => {
  await draw(body);
  expect(await page.evaluate(clippedTexts)).toEqual(found);
});
