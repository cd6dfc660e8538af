/** `simulate`: a rig that plays a scenario as a WITS level 0 stream on a TCP port, in real time or faster. */
import { systemClock } from '../../ingest/clock.ts';
import { createPlayer, PLAYER_LIMITS, type Player } from '../../ingest/simulator/player.ts';
import { streamTrip } from '../../ingest/simulator/tripStream.ts';
import { writeReplayData } from '../../ingest/simulator/writeReplayData.ts';
import { Fault } from '../../src/fault.ts';
import { fileReason } from '../plan/readBounded.ts';
import { numberOption, type OptionTable, portOption, readOptions } from './options.ts';
import { type ReadScenario, readScenario } from './readScenario.ts';
import { untilStopped } from './untilStopped.ts';

const DEFAULT_PORT = 8011;
const LONGEST_TRIP_S = 30 * 86_400;

export const SIMULATE_OPTIONS = {
  scenario: { type: 'string', value: 'FILE', says: 'the scenario, jointwise-scenario/1; left out: the demo' },
  plan: { type: 'string', value: 'FILE', says: 'the plan; left out: the one that the scenario names' },
  port: { type: 'string', value: 'N', says: `port to listen on; left out: ${DEFAULT_PORT}` },
  host: { type: 'string', value: 'ADDRESS', says: 'address to listen on; left out: 127.0.0.1' },
  speed: { type: 'string', value: 'N', says: 'rig seconds in one of ours; left out: 1' },
  'start-at': {
    type: 'string',
    value: 'S',
    says: 'seconds into the trip that are sent at once; left out: the scenario says',
  },
  write: { type: 'string', value: 'FOLDER', says: 'write the demo stream and its truth there anew, and play nothing' },
} as const satisfies OptionTable;

/** A player of a scenario, not started yet. `startAtS`: seconds into the trip; undefined: the scenario says. */
export function scenarioPlayer(
  { scenario, plan }: ReadScenario,
  options: { speed: number; host: string; port: number; startAtS: number | undefined },
): Player {
  const opensAtMs = Date.parse(scenario.startAt) + (options.startAtS ?? scenario.opensAfter) * 1000;
  const { frames } = streamTrip(scenario, plan);
  const { speed, host, port } = options;
  return createPlayer({ frames, clock: systemClock, speed, opensAtMs, host, port });
}

async function writeInto(folder: string): Promise<void> {
  try {
    await writeReplayData(folder);
  } catch (error) {
    if (error instanceof Fault || (error as NodeJS.ErrnoException).code === undefined) throw error;
    throw new Fault('cannot write', `${folder}: ${fileReason(error)}, expected the folder of the demo`);
  }
}

export async function simulate(args: readonly string[]): Promise<void> {
  const options = readOptions(args, SIMULATE_OPTIONS);
  if (options.write !== undefined) return writeInto(options.write);
  const host = options.host ?? '127.0.0.1';
  const port = portOption('port', options.port, DEFAULT_PORT);
  const speed = numberOption('speed', options.speed, 1, 0.001, PLAYER_LIMITS.speed);
  const startAt = options['start-at'];
  const startAtS = startAt === undefined ? undefined : numberOption('start-at', startAt, 0, 0, LONGEST_TRIP_S);
  if (options.plan !== undefined && options.scenario === undefined) {
    throw new Fault('bad option', '--plan: found it without --scenario, expected both');
  }
  const read = await readScenario(options.scenario, options.plan);
  const player = scenarioPlayer(read, { speed, host, port, startAtS });
  const stopped = untilStopped();
  const started = await player.start();
  process.stdout.write(`jointwise: WITS level 0 on ${host}:${started.port} at ${speed}×\n`);
  await Promise.race([player.ended, stopped]);
  await player.close();
}
