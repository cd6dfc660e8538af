/** What the page weighs, as the service sends it to a real browser, and whom it asks. */
import { readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { BenchLine } from './benchLine.ts';
import { openPage } from './openPage.ts';
import { RigFeed, sleep } from './rigFeed.ts';
import { startServe } from './serveProcess.ts';
import { trip72h, tripFrames } from './trip72h.ts';

const GOAL_KB = 150;
const FRAMES = 200;
/** Long enough for everything that the page loads late. */
const SETTLE_MS = 3000;
const PACKED = /\.(br|gz)$/;

const built = fileURLToPath(new URL('../../dist/web/', import.meta.url));

/** Bytes of all files of the page, each packed this way where it has been. */
function builtBytes(ending: '.br' | '.gz'): number {
  const files = readdirSync(built, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name));
  let sum = 0;
  for (const file of files) {
    if (PACKED.test(file)) continue;
    sum += statSync(files.includes(file + ending) ? file + ending : file).size;
  }
  return sum;
}

export async function run(): Promise<BenchLine[]> {
  const { planFile, streamFile } = trip72h();
  const feed = await RigFeed.open();
  const service = await startServe(['--plan', planFile, '--connect', `127.0.0.1:${feed.port}`]);
  try {
    await feed.connected();
    await feed.send(tripFrames(streamFile, 0, FRAMES).join(''));
    const sizes = new Map<string, { path: string; bytes: number }>();
    const { asked, close } = await openPage(service.url, async (debug) => {
      await debug.send('Network.enable');
      debug.on('Network.responseReceived', ({ requestId, response }) => {
        sizes.set(requestId, { path: new URL(response.url).pathname, bytes: 0 });
      });
      debug.on('Network.loadingFinished', ({ requestId, encodedDataLength }) => {
        const entry = sizes.get(requestId);
        if (entry) entry.bytes = encodedDataLength;
      });
    });
    await sleep(SETTLE_MS);
    await close();
    const here = new URL(service.url).host;
    const elsewhere = asked.filter((address) => !address.startsWith('data:') && new URL(address).host !== here);
    const files = [...sizes.values()].filter(({ path }) => !path.startsWith('/api/'));
    const fetched = files.reduce((sum, { bytes }) => sum + bytes, 0);
    const whole = builtBytes('.br');
    return [
      {
        what: 'the page as it is opened, all its files as the browser got them',
        ours: `${files.length} files`,
        beside: '',
        found: fetched / 1000,
        unit: 'kB',
        goal: GOAL_KB,
        note: `headers of the answers included; data (/api, /live) is not part of it`,
      },
      {
        what: 'with every view and the worker that are fetched when they are asked for, brotli',
        ours: '',
        beside: `${(builtBytes('.gz') / 1000).toFixed(1)} kB as gzip`,
        found: whole / 1000,
        unit: 'kB',
        goal: null,
      },
      {
        what: 'requests of the page to elsewhere',
        ours: `${asked.length} requests in all`,
        beside: '',
        found: elsewhere.length,
        unit: 'requests',
        goal: 0,
        ...(elsewhere.length > 0 && { note: elsewhere.join(', ') }),
      },
    ];
  } finally {
    await service.stop();
    await feed.close();
  }
}
