/** Trace rows of an invented trip, the same for the same seed: stands of rolling, connections, stalls, holes, breaches. */
import { BREACHES, type TraceRow } from '../../src/live/messages.ts';

/** A small generator of even noise in [-1, 1): the low bits of a linear congruence are left out. */
function noise(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state >>> 8) / 2 ** 23 - 1;
  };
}

const STAND_S = 1800;
const CONNECTION_S = 600;
const JOINT_S = 700;

export interface InventedTrip {
  readonly rows: number;
  readonly startMs: number;
  readonly seed: number;
}

export function inventedRows(trip: InventedTrip): TraceRow[] {
  const random = noise(trip.seed);
  const rows: TraceRow[] = [];
  let depth = 2410;
  for (let s = 0; rows.length < trip.rows; s++) {
    const inStand = s % STAND_S;
    const connecting = inStand >= STAND_S - CONNECTION_S;
    const stalled = s % 9000 > 2000 && s % 9000 < 2070;
    const weak = s % 14_400 > 4000 && s % 14_400 < 4180;
    if (s % 7200 > 6000 && s % 7200 < 6090) continue;
    const isolation = Math.floor(s / JOINT_S) % 4 === 0;
    const flow = connecting ? 0 : 620 + 6 * random();
    const low = isolation ? 16_000 : 7_500;
    const high = isolation ? 22_000 : 11_000;
    const wanted = isolation ? 18_400 : 9_200;
    const pressure = connecting ? Math.max(0, 60 * random()) : wanted * (weak ? 0.66 : 1) + 180 * random();
    const rotation = connecting ? 0 : stalled ? 4 + 3 * random() : 32 + 1.2 * random();
    const torque = connecting ? 0 : (stalled ? 13.4 : isolation ? 9.4 : 6.2) + 0.7 * random();
    const feed = connecting || stalled ? 0 : 1.15 + 0.15 * random();
    depth += feed / 60;
    const setDown = connecting ? 0 : (stalled ? 96 : 42) + 4 * random();
    const breach =
      (!connecting && pressure < low ? BREACHES.pressure : 0) |
      (!connecting && rotation < 15 ? BREACHES.rotation : 0) |
      (torque > 13 ? BREACHES.torque : 0);
    const unknown = s % 5000 > 2200 && s % 5000 < 2260;
    rows.push([
      trip.startMs + s * 1000,
      unknown ? null : pressure,
      unknown ? null : 0.8 * pressure,
      flow,
      torque,
      rotation,
      connecting ? 182 + 2 * random() : 790 - setDown,
      connecting ? null : setDown,
      depth,
      28 - (inStand / STAND_S) * 26,
      feed,
      connecting ? null : low,
      connecting ? null : high,
      breach,
    ]);
  }
  return rows;
}
