/** Trips for the depth at the tool: one drawn at random from a seed, with something left open on most joints. */
import { type DepthCase, type DepthRig, DRILL_PIPE, runToDevice } from './depthTrip.ts';
import type { Driller } from './driller.ts';
import { all, astray, axialStall, fast, on } from './incidents.ts';
import { random } from './rigScript.ts';
import { inJoint, QUIET_NOISE } from './rigTrip.ts';

export const TAG = { least: 40, window: 5 } as const;
export const WITH_TAG = { string: DRILL_PIPE, depthTag: TAG } as const;

export const tagOnce =
  (kn = 60, buildS?: number) =>
  (rig: DepthRig): void => {
    runToDevice(rig);
    rig.shear(kn, buildS);
  };

/** A depth to 0.01 m, a string that gives, noise on the hookload, now and then a swell; ends inside a joint in one of three. */
export function drawnDepth(seed: number): DepthCase {
  const rand = random(seed + 7100);
  const pick = <T>(...from: readonly T[]): T => from[Math.floor(rand() * from.length)]!;
  const between = (low: number, high: number): number => low + rand() * (high - low);
  const swell = rand() < 0.25;
  const incident = (name: string, length: number): ((d: Driller) => void) => {
    const into = between(0.3, length - 3);
    return on(
      name,
      into,
      pick(
        astray('pressure', 5500, between(0.4, 2)),
        astray('rpm', 0, between(0.4, 2), { torque: 1 }),
        fast(between(2.6, 3.5), between(0.8, 2)),
        axialStall(70),
      ),
    );
  };
  const ends = rand() < 0.33;
  const tagged = rand() < 0.5;
  return {
    grade: swell ? 'dirty' : 'clean',
    elastic: true,
    depthError: tagged ? between(-2.5, 2.5) : 0,
    manner: { feed: swell ? 0.7 : pick(0.9, 1.2, 1.35), ripple: pick(0, 0, 0.1), between: pick('keep', 'low', 'off') },
    stream: {
      noise: { ...QUIET_NOISE, hook: pick(2, 4, 8) },
      blockPrint: pick('same', 'cm', 'mm'),
      ...(swell ? { heave: { metres: between(0.01, 0.025), seconds: between(9, 13) } } : {}),
    },
    parts: tagged ? WITH_TAG : { string: DRILL_PIPE },
    plan: all(incident('Z2', 5.6), incident('S4', 10.5), incident('S5', 10.5), incident('S6', 10.3)),
    ...(tagged ? { tag: tagOnce(between(50, 90)) } : {}),
    ...(ends ? { trip: (rig) => endsIn(rig, between(2, 8)) } : {}),
  };
}

function endsIn(rig: DepthRig, metres: number): void {
  const { driller } = rig;
  const { script } = driller;
  script.quietly(() => {
    script.go(20, {});
    driller.pumps(driller.manner.screenKpa);
    driller.startTurning();
    script.go(20, {});
  });
  driller.expandTo(inJoint(driller, 'S6', metres));
  script.quietly(() => driller.stopAll());
}
