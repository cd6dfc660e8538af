/** What goes wrong on the way, as moves of the driller, and where. */

import type { Driller } from './driller.ts';
import { begin, inJoint, whenAt } from './rigTrip.ts';

export const on = (name: string, metres: number, act: (d: Driller) => void) => (d: Driller) =>
  void d.planned.push({ depth: inJoint(d, name, metres), act });
export const all =
  (...plans: ((d: Driller) => void)[]) =>
  (d: Driller) => {
    for (const plan of plans) plan(d);
  };

/** No more weight is set down than a third of what hangs there. */
export const setDown = (d: Driller, kn: number) => Math.min(kn, 0.33 * d.manner.stringKn);

export function axialStall(seconds: number, sag = 0) {
  return (d: Driller) => {
    const s = d.script;
    const [p, torque] = [s.now.pressure, s.now.torque];
    s.stalls.push({ at: s.t, end: s.t + seconds });
    s.go(
      seconds,
      { torque: 11, hook: d.weight - setDown(d, 90), pressure: p * (1 - sag) },
      { torque: 20, hook: seconds },
    );
    s.quietly(() => {
      s.run(s.now.depth - 0.8, 3, { hook: d.weight + d.drag, torque: 4, pressure: p }, { hook: 3, torque: 3 });
      s.run(s.now.depth + 0.7, 2, { hook: d.weight - 5 }, { hook: 2 });
    });
    s.go(2, { torque });
  };
}
export function rotationalStall(seconds: number) {
  return (d: Driller) => {
    const s = d.script;
    s.stalls.push({ at: s.t, end: s.t + seconds });
    s.go(seconds, { rpm: 0, torque: 15, hook: d.weight - setDown(d, 60) }, { rpm: 3, torque: 5 });
    s.quietly(() => {
      s.run(s.now.depth - 1, 3, { hook: d.weight + d.drag, torque: 0 }, { hook: 3, torque: 3 });
      d.startTurning();
      s.run(s.now.depth + 0.9, 2, { hook: d.weight - 5 }, { hook: 2 });
    });
  };
}
/** Advances `metres` with one channel elsewhere. */
export function astray(
  channel: 'pressure' | 'rpm',
  value: number,
  metres: number,
  extra: Partial<Record<'torque', number>> = {},
) {
  return (d: Driller) => {
    const s = d.script;
    const before = s.now[channel];
    const torque = s.now.torque;
    s.run(s.now.depth + metres, d.feed, { [channel]: value, ...extra }, { [channel]: 4, torque: 4 });
    s.run(s.now.depth + 0.1, d.feed, { [channel]: before, torque }, { [channel]: 4, torque: 4 });
  };
}
export function fast(feed: number, metres: number) {
  return (d: Driller) => d.script.run(d.script.now.depth + metres, feed);
}
export function secondPass(metres: number) {
  return (d: Driller) => {
    const s = d.script;
    const back = s.now.depth;
    d.standStill(5);
    d.pumps(d.manner.screenKpa);
    s.quietly(() => s.run(back - metres - 0.3, 4, { hook: d.weight + d.drag }, { hook: 3 }));
    s.go(3, { hook: d.weight - setDown(d, 30), torque: 8 });
    s.run(back + 0.01, d.feed);
  };
}
export const tripOf = (body: (d: Driller) => void) => (d: Driller) => {
  begin(d);
  body(d);
};
export const silentAt =
  (...list: [string, number, number][]) =>
  (d: Driller) =>
    list.map(([name, metres, seconds]) => {
      const t = whenAt(d, inJoint(d, name, metres));
      return [t, t + seconds] as const;
    });
