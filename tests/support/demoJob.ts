/**
 * The demo job in the test's own process, each part as in the program: simulated rig, TCP in between, service, page.
 * The link between rig and service runs through a relay that a test can cut and mend.
 */
import { once } from 'node:events';
import { type AddressInfo, connect, createServer, type Socket } from 'node:net';
import { onTestFinished } from 'vitest';
import { systemClock } from '../../ingest/clock.ts';
import type { Scenario } from '../../ingest/simulator/scenario.ts';
import { tcpClientSource } from '../../ingest/tcpClientSource.ts';
import { readScenario } from '../../server/cli/readScenario.ts';
import { scenarioPlayer } from '../../server/cli/simulate.ts';
import { pageFolder } from '../../server/pageFolder.ts';
import { READERS } from '../../server/readers.ts';
import { type Service, startService } from '../../server/service.ts';

const HOST = '127.0.0.1';

/** Moments of the demo job worth a look, s after its start. */
export const DEMO_AT = {
  expandingIsolation: 430,
  expandingScreen: 1300,
  beforeLowPressure: 1345,
  lowPressure: 1420,
  lowPressureOver: 1480,
  repaired: 1800,
  connection: 1960,
  stalled: 2620,
  stallOver: 2700,
} as const;

export interface Relay {
  readonly port: number;
  /** From now on nothing passes, and who is connected is cut off. */
  cut(): void;
  mend(): void;
  close(): Promise<void>;
}

export async function startRelay(toPort: number): Promise<Relay> {
  let passes = true;
  const sockets = new Set<Socket>();
  const keep = (socket: Socket): void => {
    sockets.add(socket);
    socket.on('close', () => sockets.delete(socket));
    // A link that is cut on purpose resets; both ends are told by 'close'.
    socket.on('error', () => socket.destroy());
  };
  const cut = (): void => {
    for (const socket of sockets) socket.destroy();
  };
  const server = createServer((service) => {
    keep(service);
    if (!passes) {
      service.destroy();
      return;
    }
    const rig = connect(toPort, HOST);
    keep(rig);
    rig.pipe(service).pipe(rig);
    rig.on('close', () => service.end());
    service.on('close', () => rig.destroy());
  });
  server.listen(0, HOST);
  await once(server, 'listening');
  return {
    port: (server.address() as AddressInfo).port,
    cut() {
      passes = false;
      cut();
    },
    mend() {
      passes = true;
    },
    async close() {
      cut();
      await new Promise<void>((closed) => server.close(() => closed()));
    },
  };
}

export interface DemoJob {
  readonly url: string;
  readonly service: Service;
  readonly relay: Relay;
  /** Opens the source: the rig's clock starts. */
  go(): Promise<void>;
}

/**
 * Everything but the source is started; all is closed at the end of the test.
 * @param speed rig seconds in one of ours
 * @param atS what the rig sends at once, s of the job
 * @param changed what the rig plays instead
 */
export async function startDemoJob(
  speed: number,
  atS: number,
  changed: (scenario: Scenario) => Scenario = (scenario) => scenario,
): Promise<DemoJob> {
  const demo = await readScenario();
  const scenario = { ...demo, scenario: changed(demo.scenario) };
  const player = scenarioPlayer(scenario, { speed, host: HOST, port: 0, startAtS: atS });
  const rig = await player.start();
  const relay = await startRelay(rig.port);
  const service = await startService({
    ...scenario.read,
    name: `test at ${speed}×`,
    rate: speed,
    clock: systemClock,
    source: tcpClientSource({ host: HOST, port: relay.port }, systemClock),
    createReader: READERS.wits0,
    host: HOST,
    port: 0,
    allowedOrigins: [],
    page: pageFolder(),
  });
  onTestFinished(async () => {
    await service.close();
    await relay.close();
    await player.close();
  });
  return { url: service.url, service, relay, go: () => service.live.start() };
}
