/** `demo`: a simulated rig, a real TCP link, the service and its page in one process, at an accelerated clock. */
import { systemClock } from '../../ingest/clock.ts';
import { PLAYER_LIMITS } from '../../ingest/simulator/player.ts';
import { tcpClientSource } from '../../ingest/tcpClientSource.ts';
import { pageFolder } from '../pageFolder.ts';
import { readCaliper } from '../plan/readCaliper.ts';
import { READERS } from '../readers.ts';
import { startService } from '../service.ts';
import { numberOption, type OptionTable, portOption, readOptions } from './options.ts';
import { demoFile, readScenario } from './readScenario.ts';
import { DEFAULT_HOST, DEFAULT_HTTP_PORT } from './serve.ts';
import { scenarioPlayer } from './simulate.ts';
import { untilStopped } from './untilStopped.ts';

const DEMO_SPEED = 20;
/** Ports tried after the first when it is taken: a demo should start whatever else runs. */
const PORTS_BEYOND = 20;

export const DEMO_OPTIONS = {
  port: { type: 'string', value: 'N', says: `port of the page; left out: ${DEFAULT_HTTP_PORT} or the next free one` },
  speed: { type: 'string', value: 'N', says: `rig seconds in one of ours; left out: ${DEMO_SPEED}` },
} as const satisfies OptionTable;

export async function demo(args: readonly string[]): Promise<void> {
  const options = readOptions(args, DEMO_OPTIONS);
  const speed = numberOption('speed', options.speed, DEMO_SPEED, 0.001, PLAYER_LIMITS.speed);
  const port = portOption('port', options.port, DEFAULT_HTTP_PORT);
  const scenario = await readScenario();
  const caliper = await readCaliper(demoFile('demo-caliper.csv'), scenario.read.job);
  const player = scenarioPlayer(scenario, { speed, host: DEFAULT_HOST, port: 0, startAtS: undefined });
  const rig = await player.start();
  const service = await startService({
    ...scenario.read,
    caliper,
    name: `demo ${new Date(systemClock.nowMs()).toISOString()}`,
    rate: speed,
    clock: systemClock,
    source: tcpClientSource({ host: DEFAULT_HOST, port: rig.port }, systemClock),
    createReader: READERS.wits0,
    host: DEFAULT_HOST,
    port,
    portsBeyond: options.port === undefined ? PORTS_BEYOND : 0,
    allowedOrigins: [],
    page: pageFolder(),
  }).catch(async (error: unknown) => {
    await player.close();
    throw error;
  });
  const stopped = untilStopped();
  await service.live.start();
  void player.ended.then(() => service.live.endSource('the simulated trip is over'));
  process.stdout.write(`jointwise: ${service.url}  (demo at ${speed}×)\n`);
  await stopped;
  await service.close();
  await player.close();
}
