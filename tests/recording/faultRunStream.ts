/**
 * A stretch of a simulated trip, spoilt from one seed: beside the usual dirt of a stream clock steps of the rig, frozen sensors,
 * frames in another order within a window, stretches that are lost or null, and bytes that are torn or turned.
 */
import { type DirtRates, spoil, USUAL_DIRT, withItem } from '../../ingest/simulator/dirt.ts';
import type { Random } from '../../ingest/simulator/random.ts';
import { latin1Bytes, type StreamFrame, streamTrip } from '../../ingest/simulator/tripStream.ts';
import { testPlan, testScenario } from '../support/trips.ts';

const MOST_FRAMES = 220;
/** Stretches begin where the tools are near the liner, so that joints are expanded in most of them. */
const TRIPS = 4;
const frozen = ['0108', '0112', '0114', '0121', '0120'] as const;
const STEPS_MS = [-3_600_000, -90_000, -2000, 2000, 90_000, 3_600_000, 86_400_000] as const;

const trips = new Map<number, StreamFrame[]>();
function tripOf(seed: number): StreamFrame[] {
  const known = trips.get(seed);
  if (known) return known;
  const made = streamTrip(testScenario(seed), testPlan()).frames;
  trips.set(seed, made);
  return made;
}

type Spoil = (frames: StreamFrame[], random: Random) => StreamFrame[];

const stretch = (frames: readonly StreamFrame[], random: Random, most: number): [number, number] => {
  const from = random.whole(0, frames.length - 1);
  return [from, Math.min(frames.length, from + random.whole(1, most))];
};

const within = (frames: StreamFrame[], from: number, to: number, change: (packet: string) => string): StreamFrame[] =>
  frames.map((frame, i) => (i < from || i >= to ? frame : { ...frame, packets: frame.packets.map(change) }));

/** The rig's clock is set: all stamps from there on are off, for good or until it is set back. */
const clockStep: Spoil = (frames, random) => {
  const [from, some] = stretch(frames, random, 60);
  const to = random.chance(0.5) ? frames.length : some;
  const by = random.pick(STEPS_MS);
  return frames.map((frame, i) => {
    if (i < from || i >= to) return frame;
    const at = new Date(frame.sourceMs + by).toISOString();
    const date = at.slice(2, 10).replaceAll('-', '');
    const time = at.slice(11, 19).replaceAll(':', '');
    const packets = frame.packets.map((packet) =>
      withItem(
        withItem(packet, '0105', () => date),
        '0106',
        () => time,
      ),
    );
    return { ...frame, packets };
  });
};

const frozenSensor: Spoil = (frames, random) => {
  const [from, to] = stretch(frames, random, 60);
  const code = random.pick(frozen);
  let held: string | null = null;
  return within(frames, from, to, (packet) =>
    withItem(packet, code, (value) => {
      held ??= String(value);
      return held;
    }),
  );
};

const nullStretch: Spoil = (frames, random) => {
  const [from, to] = stretch(frames, random, 30);
  const code = random.pick([...frozen, '0105', '0106']);
  const text = random.pick(['-999.25', '-9999', '']);
  return within(frames, from, to, (packet) => withItem(packet, code, () => text));
};

const lostStretch: Spoil = (frames, random) => {
  const [from, to] = stretch(frames, random, 40);
  return frames.filter((_, i) => i < from || i >= to);
};

const reordered: Spoil = (frames, random) => {
  const [from, to] = stretch(frames, random, 12);
  const some = frames.slice(from, to);
  for (let i = some.length - 1; i > 0; i--) {
    const k = random.whole(0, i);
    [some[i], some[k]] = [some[k]!, some[i]!];
  }
  return [...frames.slice(0, from), ...some, ...frames.slice(to)];
};

const doubled: Spoil = (frames, random) => {
  const [from, to] = stretch(frames, random, 12);
  return [...frames.slice(0, to), ...frames.slice(from)];
};

/** Bytes cut out or turned, anywhere: also within marks and line ends. */
const torn: Spoil = (frames, random) => {
  const [at] = stretch(frames, random, 1);
  return within(frames, at, at + 1, (packet) => {
    const from = random.whole(0, packet.length);
    const to = Math.min(packet.length, from + random.whole(1, 40));
    const instead = random.chance(0.5) ? '' : String.fromCharCode(random.whole(0, 255));
    return packet.slice(0, from) + instead + packet.slice(to);
  });
};

const SPOILS: readonly Spoil[] = [clockStep, frozenSensor, nullStretch, lostStretch, reordered, doubled, torn, torn];

function usual(random: Random): DirtRates {
  const times = random.pick([0, 1, 5]);
  const rates = Object.entries(USUAL_DIRT).map(([name, rate]) => [name, rate * times]);
  return { ...(Object.fromEntries(rates) as unknown as DirtRates), encoderWraps: 0 };
}

/** In uneven pieces, as a socket gives them; none is longer than one record of the log. */
export function faultRunChunks(random: Random): Uint8Array[] {
  const whole = tripOf(random.whole(1, TRIPS));
  const from = random.whole(0, Math.floor(whole.length * 0.8));
  const some = whole.slice(from, from + random.whole(40, MOST_FRAMES));
  let frames = spoil(some, random.whole(0, 1e9), usual(random), { perMetre: 1 });
  for (let n = random.whole(0, 6); n > 0 && frames.length > 1; n--) frames = random.pick(SPOILS)(frames, random);
  const bytes = latin1Bytes(frames.flatMap(({ packets }) => packets));
  const chunks: Uint8Array[] = [];
  for (let at = 0; at < bytes.length; ) {
    const end = at + random.pick([1, 60, 300, 700, 700, 2500]) + random.whole(0, 200);
    chunks.push(bytes.subarray(at, end));
    at = end;
  }
  return chunks;
}
