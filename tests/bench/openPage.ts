/** The page in a real, headless browser. */
import { type Browser, type CDPSession, chromium, type Page } from 'playwright-core';
import { findChromium } from '../support/browser.ts';

export interface OpenPage {
  readonly page: Page;
  /** The browser's own debugging link to the page. */
  readonly debug: CDPSession;
  /** Every address that the page asked for. */
  readonly asked: readonly string[];
  close(): Promise<void>;
}

/**
 * As a user's browser is started, a process for the page and one for the drawing. Drawn without a graphics processor, which
 * a machine that runs benchmarks seldom has.
 */
const BROWSER_ARGS = ['--no-sandbox', '--disable-gpu', '--disable-accelerated-2d-canvas'];

/** The Chromium that the tests use, with the options of a benchmark. */
export async function launchForBench(): Promise<Browser> {
  const { path, environment } = await findChromium();
  const env = { ...process.env, ...environment } as Record<string, string>;
  return chromium.launch({ executablePath: path, args: BROWSER_ARGS, env, headless: true });
}

/** @param prepare runs before the page's address is opened */
export async function openPage(url: string, prepare?: (debug: CDPSession) => Promise<void>): Promise<OpenPage> {
  const browser = await launchForBench();
  try {
    const context = await browser.newContext({ locale: 'en-US', viewport: { width: 1366, height: 768 } });
    const page = await context.newPage();
    const debug = await context.newCDPSession(page);
    const asked: string[] = [];
    page.on('request', (request) => asked.push(request.url()));
    page.on('websocket', (socket) => asked.push(socket.url()));
    await prepare?.(debug);
    await page.goto(url);
    await page.waitForSelector('[data-testid="pressure"]');
    return { page, debug, asked, close: () => browser.close() };
  } catch (error) {
    await browser.close();
    throw error;
  }
}
