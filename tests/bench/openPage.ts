/** The page in a real, headless browser. */
import packedChromium from '@sparticuz/chromium';
import { type Browser, type CDPSession, chromium, type Page } from 'playwright-core';

export interface OpenPage {
  readonly page: Page;
  /** The browser's own debugging link to the page. */
  readonly debug: CDPSession;
  /** Every address that the page asked for. */
  readonly asked: readonly string[];
  close(): Promise<void>;
}

/**
 * Not the packed browser's own options: those put page, drawing and network into one process, for small cloud machines, and
 * nobody watches a rig that way. Drawn without a graphics processor, which a machine that runs benchmarks seldom has.
 */
const BROWSER_ARGS = ['--no-sandbox', '--disable-gpu', '--disable-accelerated-2d-canvas'];

async function launch(): Promise<Browser> {
  return chromium.launch({
    executablePath: process.env.CHROMIUM_PATH ?? (await packedChromium.executablePath()),
    args: BROWSER_ARGS,
    headless: true,
  });
}

/** @param prepare runs before the page's address is opened */
export async function openPage(url: string, prepare?: (debug: CDPSession) => Promise<void>): Promise<OpenPage> {
  const browser = await launch();
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
