/** Six traces over 72 h in a real browser: ours beside plain uPlot on all points, in one page and one run. */
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { extname, join, normalize } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';
import { launchForBench } from './openPage.ts';

export interface BenchLine {
  readonly name: string;
  /** Ours over the other's. */
  readonly ratio: number;
  readonly goal: number;
  readonly detail: string;
}

const DRAWS = 9;
const SAMPLES = 120;
const TYPES: Record<string, string> = { '.html': 'text/html', '.js': 'text/javascript', '.css': 'text/css' };

const page = fileURLToPath(new URL('../../web/bench/traces.html', import.meta.url));

async function serve(folder: string): Promise<Server> {
  const server = createServer((request, response) => {
    const path = normalize(decodeURIComponent(new URL(request.url ?? '/', 'http://localhost').pathname));
    readFile(join(folder, path)).then(
      (bytes) => {
        response.writeHead(200, { 'content-type': TYPES[extname(path)] ?? 'application/octet-stream' });
        response.end(bytes);
      },
      () => {
        response.writeHead(404);
        response.end();
      },
    );
  });
  await new Promise<void>((listening) => server.listen(0, '127.0.0.1', listening));
  return server;
}

interface Pair {
  plain: { script: number; shown: number };
  ours: { script: number; shown: number };
}
interface Measured {
  firstDraw: Pair;
  oneMore: Pair;
}

async function measure(url: string): Promise<Measured> {
  const browser = await launchForBench();
  try {
    const context = await browser.newContext({ locale: 'en-US', viewport: { width: 1366, height: 768 } });
    const tab = await context.newPage();
    await tab.goto(url);
    await tab.waitForFunction('window.measureTraces !== undefined');
    return (await tab.evaluate(`window.measureTraces(${DRAWS}, ${SAMPLES})`)) as Measured;
  } finally {
    await browser.close();
  }
}

const line = (name: string, goal: number, { ours, plain }: Pair): BenchLine => ({
  name,
  ratio: ours.script / plain.script,
  goal,
  detail:
    `${ours.script.toFixed(2)} ms of script against ${plain.script.toFixed(2)} ms for plain uPlot on all points; ` +
    `${ours.shown.toFixed(1)} against ${plain.shown.toFixed(1)} ms to the next frame shown`,
});

/** Builds the page, opens it in Chromium, and returns the two ratios. */
export async function run(): Promise<BenchLine[]> {
  const folder = await mkdtemp(join(tmpdir(), 'jointwise-bench-'));
  try {
    await build({
      configFile: false,
      root: join(page, '..'),
      logLevel: 'error',
      build: { outDir: folder, emptyOutDir: true, rollupOptions: { input: page } },
    });
    const server = await serve(folder);
    try {
      const measured = await measure(`http://127.0.0.1:${(server.address() as AddressInfo).port}/traces.html`);
      return [
        line('first draw of six traces over 72 h', 0.25, measured.firstDraw),
        line('one more sample on six traces over 72 h', 0.15, measured.oneMore),
      ];
    } finally {
      server.close();
    }
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
