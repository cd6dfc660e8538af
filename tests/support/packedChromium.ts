/**
 * The Chromium that `npm ci` brings, unpacked beside the packages: the program, its fonts, and the system libraries that
 * a bare machine lacks. The package itself unpacks into the temporary folder in place, so that two test files starting
 * at once would find each other's half-written program: here it is unpacked aside and moved into place whole.
 */
import { existsSync, mkdirSync, mkdtempSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** Goes with the packages, so that another version of the program never meets the old one. */
const cache = fileURLToPath(new URL('../../node_modules/.cache/jointwise/', import.meta.url));
/** Makes the package unpack its system libraries too. */
const WITH_LIBRARIES = { AWS_LAMBDA_JS_RUNTIME: '20.x' } as const;

export interface PackedChromium {
  readonly path: string;
  /** What to set for it where the machine has its own libraries, and where it has not. */
  readonly environment: Readonly<Record<string, string>>;
  readonly bareEnvironment: Readonly<Record<string, string>>;
}

/** @throws Error when there is no room, or the folder of the packages cannot be written. */
export async function packedChromium(): Promise<PackedChromium> {
  const folder = join(cache, 'chromium');
  if (!existsSync(folder)) await unpackInto(folder);
  const environment = { FONTCONFIG_FILE: join(folder, 'all-fonts.conf') };
  const libraries = [join(folder, 'al2023', 'lib'), process.env.LD_LIBRARY_PATH].filter(Boolean).join(':');
  return {
    path: join(folder, 'chromium'),
    environment,
    bareEnvironment: { ...environment, LD_LIBRARY_PATH: libraries },
  };
}

async function unpackInto(folder: string): Promise<void> {
  mkdirSync(cache, { recursive: true });
  const aside = mkdtempSync(join(cache, 'unpacking-'));
  try {
    const { default: chromium } = await import('@sparticuz/chromium');
    await withEnvironment({ ...WITH_LIBRARIES, TMPDIR: aside }, () => chromium.executablePath());
    writeFileSync(join(aside, 'all-fonts.conf'), fontsConf(join(folder, 'fonts')));
    renameSync(aside, folder);
  } catch (error) {
    // Another test file was quicker: its copy is as good.
    if (!existsSync(folder)) throw error;
  } finally {
    rmSync(aside, { recursive: true, force: true });
  }
}

/** The machine's own fonts where it has any, and those that came along: no text is left undrawn. */
function fontsConf(fonts: string): string {
  const cacheFolder = join(cache, 'fonts');
  return `<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig>
  <include ignore_missing="yes">/etc/fonts/fonts.conf</include>
  <dir>${fonts}</dir>
  <cachedir>${cacheFolder}</cachedir>
</fontconfig>
`;
}

async function withEnvironment<T>(set: Readonly<Record<string, string>>, does: () => Promise<T>): Promise<T> {
  const before = Object.fromEntries(Object.keys(set).map((name) => [name, process.env[name]]));
  Object.assign(process.env, set);
  try {
    return await does();
  } finally {
    for (const [name, value] of Object.entries(before)) {
      if (value === undefined) delete process.env[name];
      else process.env[name] = value;
    }
  }
}
