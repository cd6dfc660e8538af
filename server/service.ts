/** The whole service put together: a live run, the hub of its pages, the HTTP side on a port. */
import { hostname } from 'node:os';
import type { FastifyInstance } from 'fastify';
import type { Clock } from '../ingest/clock.ts';
import type { CaliperReading } from '../src/engineering/caliperLog.ts';
import { Fault } from '../src/fault.ts';
import type { ReportExtras } from '../src/report/reportInput.ts';
import { HandoverDesk } from './handover/handoverDesk.ts';
import { createApp } from './http/app.ts';
import type { HttpLimits } from './http/httpLimits.ts';
import type { RunLibrary } from './keep/runLibrary.ts';
import { LibraryDesk } from './library/libraryDesk.ts';
import { RecordingDesk } from './library/recordingDesk.ts';
import { SourceRelay } from './library/sourceRelay.ts';
import { Hub } from './live/hub.ts';
import type { HubLimits } from './live/hubLimits.ts';
import { LiveRun } from './live/liveRun.ts';
import type { LiveRunOptions } from './live/liveRunOptions.ts';
import { PresentRun } from './live/presentRun.ts';
import type { OpenRecordingOptions } from './recording/openRecording.ts';
import { reportExtras } from './report/reportExtras.ts';
import { ScenarioStores } from './scenarios/scenarioStores.ts';
import { People, type PeopleOptions } from './signing/people.ts';
import { SignDesk } from './signing/signDesk.ts';
import { TogetherDesk } from './together/togetherDesk.ts';
import { VERSION } from './version.ts';

interface HttpOptions {
  readonly clock: Clock;
  readonly host: string;
  /** 0 lets the system choose. */
  readonly port: number;
  /** Ports after `port` that are tried when it is taken. */
  readonly portsBeyond?: number;
  readonly allowedOrigins: readonly string[];
  /** The caliper log that the plan is checked with; left out: none. */
  readonly caliper?: CaliperReading | undefined;
  /** The file of the people who may sign; left out: they are known for as long as the service runs. */
  readonly peopleFile?: string;
  /** Of hashing a secret; left out: as it should be. */
  readonly secretCost?: PeopleOptions['cost'];
  /** Folder of the built page; left out: no page, only the interface. */
  readonly page?: string;
  readonly httpLimits?: Partial<HttpLimits>;
  readonly hubLimits?: Partial<HubLimits>;
}

/** The library that the live run is kept in, and how the next one is begun. */
export interface ServedRecording {
  /** Of the run that is recorded at the start. */
  readonly id: string;
  readonly opening: OpenRecordingOptions;
}

export interface ServiceOptions extends LiveRunOptions, HttpOptions {
  /** Left out: no library. */
  readonly inLibrary?: ServedRecording;
}

export interface LibraryServiceOptions extends HttpOptions {
  readonly library: RunLibrary;
  readonly data: string;
  readonly report: (line: string) => void;
}

export interface LibraryService {
  readonly hub: Hub;
  readonly url: string;
  readonly port: number;
  close(): Promise<void>;
}

export interface Service extends LibraryService {
  /** The run that is live now. */
  readonly live: LiveRun;
}

/**
 * Listens, and does not open the source yet: that is `service.live.start()`.
 * @throws Fault `port in use`, `bad option` (an address that this machine does not have).
 */
export async function startService(options: ServiceOptions): Promise<Service> {
  const people = await openPeople(options);
  const { inLibrary } = options;
  // A source that several runs take from in turn stays open between them.
  const relay = inLibrary ? new SourceRelay(options.source) : null;
  const present = new PresentRun();
  const first = new LiveRun(relay ? { ...options, source: relay.tap() } : options);
  await first.comeBack();
  present.put(first);
  const desk = inLibrary && relay ? await openDesk(options, inLibrary, present, relay) : undefined;
  const end = async () => {
    await present.live.close();
    await relay?.close();
  };
  const served = await serveHttp(options, people, present, desk, end);
  return {
    ...served,
    get live() {
      return present.live;
    },
  };
}

/** A library without a rig: its runs are looked at, verified, copied and taken in, and none is recorded. @throws as above */
export async function startLibrary(options: LibraryServiceOptions): Promise<LibraryService> {
  const people = await openPeople(options);
  const present = new PresentRun();
  const desk = new LibraryDesk({ ...options, present });
  await desk.open(null);
  return serveHttp(options, people, present, desk, async () => {});
}

async function openDesk(
  options: ServiceOptions,
  { id, opening }: ServedRecording,
  present: PresentRun,
  relay: SourceRelay,
): Promise<LibraryDesk> {
  const { rate, clock, createReader, queueLimitBytes, traceRoom } = options;
  const desk = new LibraryDesk({ ...opening, present });
  const recording = new RecordingDesk({
    opening,
    present,
    relay,
    id,
    changed: (changed) => void desk.forget(changed),
    run: {
      rate,
      clock,
      createReader,
      ...(queueLimitBytes === undefined ? {} : { queueLimitBytes }),
      ...(traceRoom === undefined ? {} : { traceRoom }),
    },
  });
  await desk.open(recording);
  return desk;
}

const openPeople = ({ clock, peopleFile, secretCost }: HttpOptions): Promise<People> =>
  People.open({ path: peopleFile, nowMs: () => clock.nowMs(), cost: secretCost });

function extrasOf(live: LiveRun): ReportExtras {
  const record = live.record();
  const { plan: firstPlan, entries } = live.course();
  return record ? reportExtras({ firstPlan, plan: live.plan, record, entries }) : {};
}

async function serveHttp(
  options: HttpOptions,
  people: People,
  present: PresentRun,
  desk: LibraryDesk | undefined,
  end: () => Promise<void>,
): Promise<LibraryService> {
  const hub = new Hub(present, options.clock, options.hubLimits);
  const nowMs = () => options.clock.nowMs();
  const togetherDesk = new TogetherDesk();
  const app = await createApp({
    served: {
      get live() {
        return present.live;
      },
      hasLive: () => present.orNull !== null,
      hub,
      library: desk?.library,
      desk,
      scenarios: new ScenarioStores(desk),
      caliper: options.caliper,
      signing: new SignDesk(people, nowMs),
      handover: new HandoverDesk(),
      together: togetherDesk,
      reportExtras: extrasOf,
      verification: async () => (desk?.presentId ? desk.verification(desk.presentId) : null),
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
    await togetherDesk.close();
    await end();
    present.end();
    await hub.close();
    await app.close();
    await desk?.close();
  };
  try {
    const port = await listen(app, options);
    const name = options.host.includes(':') ? `[${options.host}]` : options.host;
    return { hub, url: `http://${name}:${port}/`, port, close };
  } catch (error) {
    await close();
    throw error;
  }
}

async function listen(app: FastifyInstance, options: HttpOptions): Promise<number> {
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
