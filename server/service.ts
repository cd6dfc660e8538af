/** The whole service put together: a live run, the hub of its pages, the HTTP side on a port. */
import { hostname } from 'node:os';
import type { FastifyInstance } from 'fastify';
import type { Clock } from '../ingest/clock.ts';
import type { CaliperReading } from '../src/engineering/caliperLog.ts';
import { Fault } from '../src/fault.ts';
import { createApp } from './http/app.ts';
import type { HttpLimits } from './http/httpLimits.ts';
import type { RunLibrary } from './keep/runLibrary.ts';
import { Hub } from './live/hub.ts';
import type { HubLimits } from './live/hubLimits.ts';
import { LiveRun } from './live/liveRun.ts';
import type { LiveRunOptions } from './live/liveRunOptions.ts';
import { KeptCourses } from './recording/keptCourse.ts';
import { ScenarioStore } from './scenarios/scenarioStore.ts';
import { VERSION } from './version.ts';

export interface ServiceOptions extends LiveRunOptions {
  readonly clock: Clock;
  readonly host: string;
  /** 0 lets the system choose. */
  readonly port: number;
  /** Ports after `port` that are tried when it is taken. */
  readonly portsBeyond?: number;
  readonly allowedOrigins: readonly string[];
  /** The caliper log that the plan is checked with; left out: none. */
  readonly caliper?: CaliperReading | undefined;
  /** The library that the run is kept in; left out: none. */
  readonly library?: RunLibrary;
  /** Scenarios that are kept beside the run; left out: in memory. */
  readonly scenarios?: ScenarioStore;
  /** Folder of the built page; left out: no page, only the interface. */
  readonly page?: string;
  readonly httpLimits?: Partial<HttpLimits>;
  readonly hubLimits?: Partial<HubLimits>;
}

export interface Service {
  readonly live: LiveRun;
  readonly hub: Hub;
  readonly url: string;
  readonly port: number;
  close(): Promise<void>;
}

/**
 * Listens, and does not open the source yet: that is `service.live.start()`.
 * @throws Fault `port in use`, `bad option` (an address that this machine does not have).
 */
export async function startService(options: ServiceOptions): Promise<Service> {
  const live = new LiveRun(options);
  await live.comeBack();
  const hub = new Hub(live, options.clock, options.hubLimits);
  const nowMs = () => options.clock.nowMs();
  const app = await createApp({
    served: {
      live,
      hub,
      library: options.library,
      courses: options.library && new KeptCourses(options.library),
      scenarios: options.scenarios ?? new ScenarioStore(),
      caliper: options.caliper,
      version: VERSION,
      startedMs: nowMs(),
      nowMs,
    },
    admission: {
      boundTo: options.host,
      machineNames: [hostname().toLowerCase()],
      allowedOrigins: options.allowedOrigins,
    },
    ...(options.page === undefined ? {} : { page: options.page }),
    ...(options.httpLimits ? { limits: options.httpLimits } : {}),
  });
  const close = async () => {
    await live.close();
    await hub.close();
    await app.close();
  };
  try {
    const port = await listen(app, options);
    const name = options.host.includes(':') ? `[${options.host}]` : options.host;
    return { live, hub, url: `http://${name}:${port}/`, port, close };
  } catch (error) {
    await close();
    throw error;
  }
}

async function listen(app: FastifyInstance, options: ServiceOptions): Promise<number> {
  await app.ready();
  const last = options.port + (options.port === 0 ? 0 : (options.portsBeyond ?? 0));
  for (let port = options.port; ; port++) {
    try {
      return await listenOn(app, options.host, port);
    } catch (error) {
      const { code } = error as NodeJS.ErrnoException;
      if (code === 'EADDRINUSE' && port < last) continue;
      throw listenFault(error, options.host, port);
    }
  }
}

function listenOn(app: FastifyInstance, host: string, port: number): Promise<number> {
  const { server } = app;
  return new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen({ host, port, backlog: 511 }, () => {
      server.off('error', reject);
      // A connection that could not be taken, for want of file handles, must not end those that are open.
      server.on('error', (error) => process.stderr.write(`connection refused: ${error.message}\n`));
      const address = server.address();
      resolve(typeof address === 'object' && address ? address.port : port);
    });
  });
}

/** What the system said of a port, as a fault; anything else is passed on as it is. */
export function listenFault(error: unknown, host: string, port: number): unknown {
  switch ((error as NodeJS.ErrnoException).code) {
    case 'EADDRINUSE':
      return new Fault('port in use', `port ${port} on ${host}: found it in use, expected a free one (--port N)`);
    case 'EACCES':
      return new Fault('port in use', `port ${port} on ${host}: found it reserved by the system, expected a free one`);
    case 'EADDRNOTAVAIL':
    case 'ENOTFOUND':
    case 'EAI_AGAIN':
      return new Fault('bad option', `--host: found "${host}", expected an address of this machine`);
    default:
      return error;
  }
}
