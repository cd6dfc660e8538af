/** Pages in a real browser, one browser a test file: what they ask for and complain of is kept; a failed test leaves a picture. */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Browser, BrowserContextOptions, Locator, Page, Request } from 'playwright-core';
import { afterAll, beforeAll, expect, onTestFinished } from 'vitest';
import { launchBrowser } from './browser.ts';

const results = fileURLToPath(new URL('../../test-results/', import.meta.url));
export const RIG_PANEL = { width: 1366, height: 768 } as const;

export interface WatchedPage {
  readonly page: Page;
  /** Errors and warnings on the console, errors thrown, requests that failed: none is expected. */
  readonly complaints: string[];
  /** Every address asked for, sockets too. */
  readonly asked: string[];
  /** Bytes of each body that came over the wire, as compressed there, by path. */
  bodyBytes(): Promise<ReadonlyMap<string, number>>;
}

/** To be called at the top of a test file. */
export function usePages(): (url: string, options?: BrowserContextOptions) => Promise<WatchedPage> {
  let browser: Browser | undefined;
  beforeAll(async () => {
    browser = await launchBrowser();
  });
  afterAll(async () => {
    await browser?.close();
  });
  return async (url, options = {}) => {
    const context = await browser!.newContext({ locale: 'en-US', viewport: RIG_PANEL, ...options });
    const page = await context.newPage();
    onTestFinished(async ({ task }) => {
      if (task.result?.state === 'fail') await takePicture(page, task.name);
      await context.close();
    });
    const watched = watch(page);
    await page.goto(url);
    return watched;
  };
}

async function takePicture(page: Page, test: string): Promise<void> {
  mkdirSync(results, { recursive: true });
  const name = test.replace(/[^a-z0-9]+/gi, '-').slice(0, 80);
  await page.screenshot({ path: join(results, `${name}.png`) });
}

function watch(page: Page): WatchedPage {
  const complaints: string[] = [];
  const asked: string[] = [];
  const finished: Request[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(`thrown: ${error.message}`));
  page.on('requestfailed', (request) => complaints.push(`failed: ${request.url()} ${request.failure()?.errorText}`));
  page.on('request', (request) => asked.push(request.url()));
  page.on('websocket', (socket) => asked.push(socket.url()));
  page.on('requestfinished', (request) => finished.push(request));
  return {
    page,
    complaints,
    asked,
    // Asked only here: a page that is closed while it is asked has no answer, and mostly nobody wants one.
    bodyBytes: async () => new Map(await Promise.all(finished.map(bytesOf))),
  };
}

async function bytesOf(request: Request): Promise<[path: string, bytes: number]> {
  const { responseBodySize } = await request.sizes();
  return [new URL(request.url()).pathname, responseBodySize];
}

export const testId = (page: Page, id: string) => page.locator(`[data-testid="${id}"]`);

/** What a reader sees there: parts that stand apart are kept apart, which the text of the document does not do. */
export async function wordsOf(part: Locator): Promise<string> {
  // biome-ignore lint/performance/useDomNodeTextContent: what is drawn is what is tested
  return plainSpaces(await part.first().innerText());
}

export const plainSpaces = (text: string): string => text.replace(/[\s\u00a0\u202f]+/g, ' ').trim();

export const textOf = (page: Page, id: string): Promise<string> => wordsOf(testId(page, id));

/** A number as the page writes it: grouped by narrow spaces, with a true minus sign. NaN for a dash. */
export function numberIn(text: string): number {
  const plain = text.replace(/[\s\u00a0\u202f]/g, '').replace('\u2212', '-');
  return /^-?\d+(\.\d+)?$/.test(plain) ? Number(plain) : Number.NaN;
}

/** A busy machine may take so long for what should be there at once. */
export const PATIENCE_MS = 30_000;

/** Asks again and again, until the answer is as expected. */
export const soon = <T>(ask: () => T | Promise<T>): ReturnType<typeof expect.poll<T>> =>
  expect.poll(ask, { timeout: PATIENCE_MS });

/** Waits until a condition on the page holds; `what` is said when it never does. */
export async function until<T>(page: Page, what: string, holds: (given: T) => boolean, given: T): Promise<void> {
  try {
    await page.waitForFunction(holds as (given: unknown) => boolean, given, { timeout: PATIENCE_MS });
  } catch (error) {
    throw new Error(`waited in vain until ${what}: ${(error as Error).message.split('\n')[0]}`);
  }
}

export const untilText = (page: Page, id: string, pattern: RegExp): Promise<void> =>
  until(
    page,
    `${id} says ${pattern}`,
    ([name, source]) => {
      const element = document.querySelector<HTMLElement>(`[data-testid="${name}"]`);
      return element !== null && new RegExp(source!).test(element.textContent);
    },
    [id, pattern.source],
  );

export const untilState = (page: Page, id: string, state: string): Promise<void> =>
  until(
    page,
    `${id} is ${state}`,
    ([name, wanted]) => document.querySelector<HTMLElement>(`[data-testid="${name}"]`)?.dataset.state === wanted,
    [id, state],
  );
