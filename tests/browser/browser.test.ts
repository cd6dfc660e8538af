import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { CHROMIUM_VARIABLE, findChromium, launchBrowser } from '../support/browser.ts';

async function lineOf(named: string): Promise<string> {
  const error = await findChromium(named).then(
    () => expect.unreachable('a browser was found'),
    (fault: Error) => fault,
  );
  return error.message;
}

test('a named browser that is not there fails with one line that says what to do', async () => {
  const line = await lineOf('/nowhere/chromium');
  expect(line).not.toContain('\n');
  expect(line).toContain(`${CHROMIUM_VARIABLE}: found "/nowhere/chromium"`);
  expect(line).toMatch(/ENOENT.*expected the path of a Chromium; name one that starts, or unset the variable/);
});

test('a named browser that does not start fails with one line, its own first words in it', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'jointwise-'));
  const path = join(folder, 'chromium');
  writeFileSync(path, '#!/bin/sh\necho "a library is missing" >&2\necho "and more" >&2\nexit 127\n', { mode: 0o755 });
  const line = await lineOf(path);
  expect(line).not.toContain('\n');
  expect(line).toContain('does not start (a library is missing)');
});

test('without a name one is found that draws a page', async () => {
  const browser = await launchBrowser();
  try {
    const page = await browser.newPage({ locale: 'en-US' });
    await page.setContent('<p id="one" style="font-size: 40px; display: inline-block">width of words</p>');
    const width = await page.evaluate(() => document.getElementById('one')!.getBoundingClientRect().width);
    // Without any font the words would be of no width.
    expect(width).toBeGreaterThan(200);
  } finally {
    await browser.close();
  }
});
