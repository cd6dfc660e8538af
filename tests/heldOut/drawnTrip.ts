/** A case with everything drawn at random. */

import type { Driller } from './driller.ts';
import { all, astray, axialStall, fast, on, rotationalStall, secondPass } from './incidents.ts';
import { DIRT, NOISY } from './rigCases.ts';
import { random } from './rigScript.ts';
import type { StreamOptions } from './rigStream.ts';
import { type Case, type Grade, plainTrip, QUIET_NOISE } from './rigTrip.ts';

type Noise = NonNullable<StreamOptions['noise']>;

const INCIDENTS: readonly ((d: Driller) => void)[][] = [
  [
    on('Z2', 1.5, astray('pressure', 12000, 1)),
    on('Z2', 2.5, axialStall(90)),
    on('Z2', 1, fast(2.6, 2)),
    on('Z2', 2, astray('rpm', 0, 1, { torque: 1 })),
    on('Z2', 3, rotationalStall(70)),
  ],
  [
    on('S4', 3, axialStall(100)),
    on('S4', 0.1, astray('pressure', 6500, 1)),
    on('S4', 8, fast(3, 1.8)),
    on('S4', -1, astray('rpm', 3, 0.9)),
  ],
  [
    on('S5', 3, astray('rpm', 0, 1, { torque: 1 })),
    on('S5', 5, astray('pressure', 0, 1.2)),
    on('S5', 2, rotationalStall(90)),
    on('S5', 6, fast(4.5, 2.5)),
  ],
  [
    on('S6', 4, astray('pressure', 6900, 1.5)),
    on('S6', 6, axialStall(60, 0.04)),
    on('S6', 0.3, rotationalStall(60)),
    all(on('S6', 4, astray('pressure', 6200, 1)), on('S6', 6, secondPass(2.3))),
  ],
];

/** A trip with everything drawn at random, with incidents or without. */
export function drawn(seed: number, incidents: boolean): Case {
  const rand = random(seed + 5000);
  const pick = <T>(...from: readonly T[]): T => from[Math.floor(rand() * from.length)]!;
  const noises = (...from: readonly Noise[]): Noise => pick(...from);
  const grade: Grade = pick('clean', 'clean', 'dirty', 'dirty', 'slow');
  const stringKn = pick(90, 150, 400, 700, 1500);
  const blockKn = pick(120, 180, 350);
  const units = pick('metric', 'field') as 'metric' | 'field';
  const streamUnits = pick('metric', 'field') as 'metric' | 'field';
  const transfer = pick(0, 1, 3, 6, 10);
  const dirty = grade === 'dirty' || (grade === 'slow' && rand() < 0.4);
  return {
    grade,
    layout: {
      units,
      streamUnits,
      top: pick(500, 1200, 2400, 5000),
      upper: pick(3, 5.4, 6.2),
      lower: 1.1,
      noPressureMax: rand() < 0.2,
      noRpm: rand() < 0.1,
      ...(rand() < 0.4 ? { blockWeightKn: blockKn } : {}),
      ...(grade === 'clean' ? {} : { gapAfter: 15 }),
    },
    manner: {
      feed: pick(0.6, 0.9, 1.2, 1.2, 1.35),
      ripple: pick(0, 0, 0.1),
      rpm: pick(25, 40, 60),
      between: pick('keep', 'low', 'off'),
      changeMoving: rand() < 0.3,
      pumpRamp: pick(1, 5, 15, 40, 60),
      rotationRamp: pick(1, 5, 12),
      pickUp: pick(0, 0.5, 1, 3),
      lowerAgain: rand() < 0.6,
      slipsLow: pick(0, 0, 0.2, 0.4),
      transfer,
      blockRaise: pick(20, 45, 60, 120),
      makeUp: rand() < 0.7,
      slipsHook: blockKn * pick(1, 1, 0.97, 1.05),
      outOfSlips: pick(0.2, 0.5),
      stands: pick([27], [9], [12, 18], [3, 27], [29]),
      firstBlock: 4 + rand() * 22,
      blockKn,
      stringKn,
      think: pick(2, 10, 30),
      stopBefore: pick(0, 0, 20),
      inSlips: pick(30, 60, 90, 240),
    },
    stream: {
      steps: grade === 'slow' ? pick([5], [5], [5.15], [4]) : pick([1], [1], [1], [2], [1, 2], [1.03]),
      depthPrint:
        grade === 'slow'
          ? pick('dm', 'dm', 'cm', 'tenth foot')
          : grade === 'dirty'
            ? pick('cm', 'dm', 'tenth foot', 'foot as cm')
            : 'cm',
      blockPrint: pick('same', 'cm', 'mm'),
      rpmPrint: pick('whole', 'float', 'tenth'),
      noise: dirty
        ? noises(NOISY, { ...NOISY, hook: Math.min(12, stringKn / 15) }, QUIET_NOISE)
        : noises({}, QUIET_NOISE, { pressure: 120 }),
      drift: pick(0, 0, 300),
      ...(rand() < 0.25 ? { flag: pick('YN', '10') as 'YN' | '10' } : {}),
      ...(dirty ? { dirt: DIRT } : {}),
    },
    ...(incidents ? { plan: all(...INCIDENTS.map((some) => pick(...some))) } : {}),
    ...(rand() < 0.2
      ? {
          trip: (d) => {
            plainTrip(d);
            d.pullStands(3, 25);
            d.script.go(40, {});
          },
        }
      : {}),
  };
}
