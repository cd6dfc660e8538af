/** A run of the library worked through again, as far as it has come, by what works the live one. */
import type { Clock } from '../../ingest/clock.ts';
import { createRecognisedReader } from '../../ingest/recognisedReader.ts';
import type { Source } from '../../ingest/source.ts';
import { Fault } from '../../src/fault.ts';
import type { Damage } from '../keep/readLog.ts';
import type { RunLibrary } from '../keep/runLibrary.ts';
import type { RunReader } from '../keep/runReader.ts';
import { LiveRun } from '../live/liveRun.ts';
import { READERS } from '../readers.ts';
import { keptBytes, keptJournal, keptPlan, keptSource } from '../recording/keptRun.ts';
import type { KeptSource } from '../recording/keptSource.ts';
import { everything } from '../recording/openRecording.ts';
import { enterAfterwards } from './enterAfterwards.ts';
import { runLabel } from './runLabel.ts';

/** Reading gives way to the live run after this long, ms. */
const TURN_MS = 8;

interface Read {
  readonly source: Source;
  /** Resolves when all bytes have been given. */
  readonly done: Promise<void>;
}

/** The bytes of the log as a source that ends. @param onDamage what is damaged, and how many bytes were given before it */
function sourceOf(
  run: RunReader,
  { name, arrival }: KeptSource,
  onDamage: (damage: Damage, atBytes: number) => void,
): Read {
  let settle: { resolve: () => void; reject: (error: unknown) => void };
  const done = new Promise<void>((resolve, reject) => {
    settle = { resolve, reject };
  });
  const read = async (handlers: Parameters<Source['open']>[0]): Promise<void> => {
    let untilMs = performance.now() + TURN_MS;
    let given = 0;
    for (const kept of keptBytes(run, arrival, undefined, (damage) => onDamage(damage, given))) {
      given += kept.bytes.length;
      await handlers.bytes(kept.bytes, kept.arrivalMs);
      if (performance.now() < untilMs) continue;
      await new Promise((resolve) => setImmediate(resolve));
      untilMs = performance.now() + TURN_MS;
    }
    handlers.link('ended', 'the recorded run is over');
  };
  const source: Source = {
    name,
    open: async (handlers) => {
      void read(handlers).then(settle.resolve, settle.reject);
    },
    close: async () => {},
  };
  return { source, done };
}

/**
 * Resolves when the run is worked through; its journal too, to the end.
 * @param grew told when something was entered into it: the run knows it already
 * @throws Fault `file unreadable`, `bad plan`, `nothing usable`
 */
export async function openKeptLive(
  library: RunLibrary,
  id: string,
  clock: Clock,
  grew: () => void = () => {},
): Promise<LiveRun> {
  const run = library.read(id);
  let live: LiveRun | undefined;
  try {
    const { name } = run.info();
    const kept = keptSource(run);
    if (!kept) throw new Fault('nothing usable', `run ${runLabel(id, name)}: found no source, expected one`);
    const { source, done } = sourceOf(run, kept, (damage, atBytes) => live?.leftOut.take(damage, atBytes));
    const options = kept.pollPayload === undefined ? {} : { pollPayload: kept.pollPayload };
    live = new LiveRun({
      ...keptPlan(run),
      name: `${id} up to record ${run.head()?.number ?? 0}`,
      rate: 1,
      clock,
      source,
      createReader: (stream, sink) =>
        kept.format === null
          ? createRecognisedReader((as) => READERS[as](stream, sink, options))
          : READERS[kept.format](stream, sink, options),
      journal: keptJournal(run),
      keepEntry: async (entry) => {
        await enterAfterwards(library, id, entry);
        grew();
      },
      earlierBytes: () => everything(library, id, kept),
      tag: kept.tag,
      traceRoom: 'growing',
      kept: { run: id, name: runLabel(id, name) },
    });
    await live.start();
    await done;
    await live.ended;
    return live;
  } catch (error) {
    await live?.close();
    throw error;
  } finally {
    run.close();
  }
}
