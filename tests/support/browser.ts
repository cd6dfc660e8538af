/** The one place that finds a Chromium and starts it, kept off any network but the loopback. */
import { execFile } from 'node:child_process';
import { existsSync } from 'node:fs';
import { type Browser, chromium } from 'playwright-core';
import { packedChromium } from './packedChromium.ts';

/** Names the Chromium to be used; then no other is looked for. */
export const CHROMIUM_VARIABLE = 'JOINTWISE_CHROMIUM';
const INSTALLED = ['/usr/bin/chromium', '/usr/bin/google-chrome'];
/** A browser that has not said its version by then does not start. */
const STARTS_WITHIN_MS = 15_000;

/** Nothing is asked of, or told to, anybody outside: no updates, no reports, no look-ups. */
const ARGS = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-dev-shm-usage',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-default-apps',
  '--disable-domain-reliability',
  '--disable-sync',
  '--metrics-recording-only',
  '--no-default-browser-check',
  '--no-first-run',
  '--no-pings',
  '--font-render-hinting=none',
  '--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost',
];

interface Found {
  readonly path: string;
  readonly environment: Readonly<Record<string, string>>;
}

/** @returns null when it starts, else why not, in one line. */
function whyNot({ path, environment }: Found): Promise<string | null> {
  return new Promise((resolve) => {
    const options = { env: { ...process.env, ...environment }, timeout: STARTS_WITHIN_MS };
    execFile(path, ['--version'], options, (error, _out, err) => {
      if (!error) resolve(null);
      else resolve((err.trim() || error.message).split('\n')[0]!);
    });
  });
}

/** @throws Error with one line that says what to do, when no Chromium starts here. */
export async function findChromium(named = process.env[CHROMIUM_VARIABLE]): Promise<Found> {
  if (named) {
    const found = { path: named, environment: {} };
    const why = await whyNot(found);
    if (why === null) return found;
    throw new Error(
      `${CHROMIUM_VARIABLE}: found "${named}", which does not start (${why}), expected the path of a Chromium; ` +
        'name one that starts, or unset the variable to use the one that npm ci brings',
    );
  }
  for (const path of INSTALLED.filter((path) => existsSync(path))) {
    const found = { path, environment: {} };
    if ((await whyNot(found)) === null) return found;
  }
  return findPacked();
}

async function findPacked(): Promise<Found> {
  const asks = `install a Chromium and name it: ${CHROMIUM_VARIABLE}=/path/to/chromium npm test`;
  try {
    const { path, environment, bareEnvironment } = await packedChromium();
    const plain = { path, environment };
    const bare = { path, environment: bareEnvironment };
    if ((await whyNot(plain)) === null) return plain;
    const why = await whyNot(bare);
    if (why === null) return bare;
    throw new Error(why);
  } catch (error) {
    throw new Error(`no Chromium starts here (${(error as Error).message.split('\n')[0]}); ${asks}`);
  }
}

export async function launchBrowser(): Promise<Browser> {
  const { path, environment } = await findChromium();
  const env = { ...process.env, ...environment } as Record<string, string>;
  return chromium.launch({ executablePath: path, args: ARGS, env, headless: true });
}
