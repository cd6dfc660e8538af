/** A page looked at in every size and theme that it is made for. */
import type { Page } from 'playwright-core';
import { RIG_PANEL, until } from './pages.ts';
import { clippedTexts, faintTexts } from './screenChecks.ts';

export const LOOK_SIZES = [RIG_PANEL, { width: 1920, height: 1080 }] as const;
const THEMES = ['light', 'dark'] as const;

/** Two frames: sizes are observed in one and drawn in the next. Colours that fade are given their end. */
export const drawn = (page: Page): Promise<void> =>
  page.evaluate(async () => {
    for (let i = 0; i < 2; i++) await new Promise((next) => requestAnimationFrame(next));
    for (const animation of document.getAnimations()) animation.finish();
  });

/** Each size in each theme, drawn anew before it is looked at. */
export async function eachLook(page: Page, look: (where: string) => Promise<void>): Promise<void> {
  for (const size of LOOK_SIZES) {
    await page.setViewportSize(size);
    for (const theme of THEMES) {
      await page.emulateMedia({ colorScheme: theme });
      await until(page, `the theme is ${theme}`, (wanted) => document.documentElement.dataset.theme === wanted, theme);
      await drawn(page);
      await look(`${size.width} × ${size.height}, ${theme}`);
    }
  }
}

/** What is wrong with the page in any look: it scrolls, something is cut off, something is too faint. */
export async function lookFaults(page: Page): Promise<string[]> {
  const faults: string[] = [];
  await eachLook(page, async (where) => {
    const { width, height } = page.viewportSize()!;
    const root = await page.evaluate(() => {
      const { scrollWidth, scrollHeight } = document.documentElement;
      return { scrollWidth, scrollHeight };
    });
    if (root.scrollWidth > width || root.scrollHeight > height) {
      faults.push(`${where}: the page is ${root.scrollWidth} × ${root.scrollHeight}`);
    }
    faults.push(...(await page.evaluate(clippedTexts)).map((text) => `${where}: cut off: ${text}`));
    faults.push(...(await page.evaluate(faintTexts)).map((text) => `${where}: faint: ${text}`));
  });
  return faults;
}
