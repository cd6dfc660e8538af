/** `serve --data FOLDER` and nothing to record from: the library, its page, and no rig. */
import { systemClock } from '../../ingest/clock.ts';
import { RunLibrary } from '../keep/runLibrary.ts';
import { pageFolder } from '../pageFolder.ts';
import { startLibrary } from '../service.ts';
import { portOption } from './options.ts';
import { DEFAULT_HOST, DEFAULT_HTTP_PORT, originsOption, type ServeOptions } from './serve.ts';
import { untilStopped } from './untilStopped.ts';

/** What says nothing of a run: with anything else the library is not meant alone. */
const ALONE = ['data', 'port', 'host', 'allow-origin'] as const;

export function isLibraryAlone(options: ServeOptions): boolean {
  const given = Object.entries(options).filter(([, value]) => value !== undefined);
  return options.data !== undefined && given.every(([name]) => (ALONE as readonly string[]).includes(name));
}

/** @throws Fault: also in one line when another process holds the folder */
export async function serveLibrary(options: ServeOptions): Promise<void> {
  const report = (line: string) => void process.stderr.write(`${line}\n`);
  const data = options.data!;
  const allowedOrigins = originsOption(options['allow-origin']);
  const library = new RunLibrary(data, { nowMs: () => systemClock.nowMs(), report });
  try {
    const service = await startLibrary({
      library,
      data,
      report,
      clock: systemClock,
      host: options.host ?? DEFAULT_HOST,
      port: portOption('port', options.port, DEFAULT_HTTP_PORT),
      allowedOrigins,
      page: pageFolder(),
    });
    process.stdout.write(`jointwise: ${service.url}\n`);
    await untilStopped();
    await service.close();
  } finally {
    await library.end();
  }
}
