/** The named trips: what each does otherwise than the plain one. */
import {
  all,
  astray,
  axialStall,
  fast,
  on,
  rotationalStall,
  secondPass,
  setDown,
  silentAt,
  tripOf,
} from './incidents.ts';
import { type Case, inJoint, plainTrip, QUIET_NOISE } from './rigTrip.ts';

export const NOISY = { pressure: 150, hook: 12, torque: 1.2, rpm: 1.5, flow: 12 } as const;
export const DIRT = {
  nulls: 0.004,
  repeats: 0.01,
  lost: 0.01,
  noise: 0.005,
  noTrailer: 0.005,
  ahead: 0.1,
  spikes: { depth: 0.0005, block: 0.0005, pressure: 0.001, hook: 0.001 },
} as const;
export const SLOW = { steps: [5], depthPrint: 'dm' } as const;

export const CASES: Readonly<Record<string, Case>> = {
  plain: {},
  'no noise': { stream: { noise: {} } },
  'white noise': { stream: { noise: NOISY } },
  'noise only on pressure': { stream: { noise: { pressure: 200 } } },
  'depth noise of a centimetre': { stream: { noise: { ...QUIET_NOISE, depth: 0.01, block: 0.01 } } },
  'heave 5 cm over 10 s': { grade: 'dirty', manner: { feed: 0.8 }, stream: { heave: { metres: 0.025, seconds: 10 } } },
  'heave 10 cm over 12 s': { grade: 'dirty', manner: { feed: 0.8 }, stream: { heave: { metres: 0.05, seconds: 12 } } },
  'feed ripple': { manner: { ripple: 0.25 } },
  'pressure drift': { stream: { drift: 500 } },
  'rpm with float noise': { stream: { rpmPrint: 'float', noise: {} } },
  'rpm in tenths': { stream: { rpmPrint: 'tenth' } },
  'instant steps': { manner: { pumpRamp: 0.5, rotationRamp: 0.5, transfer: 0, think: 1 } },
  'instant steps no noise': {
    manner: { pumpRamp: 0.5, rotationRamp: 0.5, transfer: 0, think: 1 },
    stream: { noise: {} },
  },
  'slow transfer': { manner: { transfer: 10 } },
  'no pick-up': { manner: { pickUp: 0 } },
  'pick-up stays up': { manner: { pickUp: 1.5, lowerAgain: false } },
  'slips low 0.2': { manner: { slipsLow: 0.2, pickUp: 0 } },
  'slips low 0.5 after pick-up': { manner: { slipsLow: 0.5, outOfSlips: 0.6 } },
  'pumps in 5 s': { manner: { pumpRamp: 5 } },
  'pumps in 60 s': { manner: { pumpRamp: 60 } },
  'block raised in 20 s': { manner: { blockRaise: 20 } },
  'block raised in 120 s': { manner: { blockRaise: 120 } },
  'hookload in slips noisy': { stream: { noise: { ...QUIET_NOISE, hook: 15 } } },
  'hookload in slips 0': { manner: { slipsHook: 0 }, stream: { noise: {} } },
  'no make-up torque': { manner: { makeUp: false } },
  'short stands': { manner: { stands: [9], firstBlock: 6 } },
  'two connections close': { manner: { stands: [3, 27], firstBlock: 10 } },
  'stands of 29': { manner: { stands: [29], firstBlock: 4 } },
  'block weight in plan': { layout: { blockWeightKn: 180 } },
  'block weight in plan, field': { layout: { blockWeightKn: 180, units: 'field', streamUnits: 'field' } },
  'shallow light string': { layout: { top: 500 }, manner: { stringKn: 90 } },
  'shallow, instant': { layout: { top: 500 }, manner: { stringKn: 70, transfer: 0, pumpRamp: 1, think: 2 } },
  'shallow, noisy hook': {
    layout: { top: 500 },
    manner: { stringKn: 90 },
    stream: { noise: { ...QUIET_NOISE, hook: 8 } },
  },
  'deep heavy string': { layout: { top: 5000 }, manner: { stringKn: 1600, blockKn: 350, slipsHook: 350 } },
  'flag Y N': { stream: { flag: 'YN' } },
  'flag 1 0': { stream: { flag: '10' } },
  'field plan, metric stream': { layout: { units: 'field' } },
  'metric plan, field stream': { layout: { streamUnits: 'field' } },
  'field plan, field stream': { layout: { units: 'field', streamUnits: 'field' } },
  'between low': { manner: { between: 'low' } },
  'between off': { manner: { between: 'off' } },
  'between low, moving': { manner: { between: 'low', changeMoving: true } },
  'between keep, moving': { manner: { changeMoving: true } },
  'tools 2 m apart': { layout: { upper: 3, lower: 1 } },
  'tools 12 m apart': { layout: { upper: 13, lower: 1, noPressureMax: true } },
  'isolation next to isolation': {
    layout: { joints: ['Z7.4:0.9:6.5', 'Z7.4:0.9:6.5', 'B11.9', 'S11.6:0.6:11.1', 'Z6:0.5:5.5'], noPressureMax: true },
  },
  'isolation next to screens': {
    layout: { joints: ['S11.6:0.6:11.1', 'Z7.4:0.9:6.5', 'S11.6:0.6:11.1', 'E2'], noPressureMax: true },
  },
  'whole joints': { layout: { joints: ['H9', 'Z6', 'B11.9', 'S11.6', 'S11.6', 'B4'] } },
  'whole joints, one tool': {
    layout: { joints: ['H9', 'Z6', 'S11.6', 'S11.6', 'Z6'], oneTool: 'lower', noPressureMax: true },
  },
  'no feed max': { layout: { noFeedMax: true } },
  'no rpm': { layout: { noRpm: true } },
  'no rpm, not turning': { layout: { noRpm: true }, manner: { rpm: 0 } },
  'start in slips': { startIn: 'slips' },
  'start in slips with flag': { startIn: 'slips', stream: { flag: 'YN' } },
  'start in slips, weight known': { startIn: 'slips', layout: { blockWeightKn: 180 } },
  'start in a joint': { startIn: 'joint' },
  'start circulating': {
    trip: (d) => {
      d.script.quietly(() => {
        d.pumps(6000);
        d.script.go(1800, {});
      });
      plainTrip(d);
    },
  },
  'start with nulls': { stream: { nullsFor: 25 } },
  'end in a joint': { trip: tripOf((d) => d.expandTo(inJoint(d, 'S5', 5))) },
  'end near a joint end': { trip: tripOf((d) => d.expandTo(inJoint(d, 'S5', -1.2))) },
  'pull out': {
    trip: (d) => {
      plainTrip(d);
      d.pullStands(4, 27);
      d.script.go(60, {});
    },
  },
  'every 2 s': { stream: { steps: [2] } },
  'steps of 1 and 2 s': { stream: { steps: [1, 2] } },
  'every 1.03 s': { stream: { steps: [1.03] } },
  'depth dm, block cm': { grade: 'dirty', stream: { depthPrint: 'dm', blockPrint: 'cm' } },
  'depth dm, block dm': { grade: 'dirty', stream: { depthPrint: 'dm' } },
  'depth tenth foot': {
    grade: 'dirty',
    layout: { units: 'field', streamUnits: 'field' },
    stream: { depthPrint: 'tenth foot' },
  },
  'depth foot as cm': { grade: 'dirty', stream: { depthPrint: 'foot as cm' } },
  'block mm': { stream: { blockPrint: 'mm' } },
  'slow dm': { grade: 'slow', stream: SLOW },
  'slow dm, block cm': { grade: 'slow', stream: { ...SLOW, blockPrint: 'cm' } },
  'slow tenth foot': {
    grade: 'slow',
    layout: { streamUnits: 'field' },
    stream: { steps: [5], depthPrint: 'tenth foot' },
  },
  'slow dm no noise': { grade: 'slow', stream: { ...SLOW, noise: {} } },
  'slow with lost frames': { grade: 'slow', layout: { gapAfter: 15 }, stream: { ...SLOW, dirt: { lost: 0.01 } } },
  'slow jitter': { grade: 'slow', stream: { steps: [5.15], depthPrint: 'dm' } },
  'slow short stands': { grade: 'slow', manner: { stands: [9], firstBlock: 6 }, stream: SLOW },
  'slow, fast connection': {
    grade: 'slow',
    manner: { pumpRamp: 5, think: 5, inSlips: 45, blockRaise: 20, transfer: 2 },
    stream: SLOW,
  },
  dirty: { grade: 'dirty', stream: { noise: NOISY, dirt: DIRT } },
  'dirty, depth noise': { grade: 'dirty', stream: { noise: { ...NOISY, depth: 0.015, block: 0.015 }, dirt: DIRT } },
  'dirty field': {
    grade: 'dirty',
    layout: { units: 'field', streamUnits: 'field' },
    stream: { noise: NOISY, dirt: DIRT, rpmPrint: 'float' },
  },
  'dirty slow': { grade: 'slow', layout: { gapAfter: 15 }, stream: { ...SLOW, noise: NOISY, dirt: DIRT } },
  'many nulls': { grade: 'dirty', stream: { dirt: { nulls: 0.03 } } },
  'many spikes': {
    grade: 'dirty',
    stream: {
      dirt: { spikes: { depth: 0.003, block: 0.003, pressure: 0.003, hook: 0.003, rpm: 0.003, torque: 0.003 } },
    },
  },
  'encoder wraps': { grade: 'dirty', stream: { wraps: [700, 1500] } },
  'axial stall': { plan: on('S4', 5, axialStall(120)) },
  'axial stall, sagging': { plan: on('S4', 5, axialStall(120, 0.05)) },
  'axial stall on isolation': { plan: on('Z2', 3, axialStall(90)) },
  'axial stall in the first metre': { plan: on('S4', 0.4, axialStall(90)) },
  'axial stall near the end': { plan: on('S5', -0.3, axialStall(90)) },
  'axial stall of 50 s': { plan: on('S5', 4, axialStall(50)) },
  'rotational stall': { plan: on('S5', 5, rotationalStall(90)) },
  'rotational stall on isolation': { plan: on('Z2', 2, rotationalStall(60)) },
  'low pressure': { plan: on('S5', 4, astray('pressure', 6200, 1.5)) },
  'low pressure by little': { plan: on('S5', 4, astray('pressure', 7100, 1.5)) },
  'low pressure, pump lost': { plan: on('S5', 4, astray('pressure', 0, 1.5)) },
  'low pressure on isolation': { plan: on('Z2', 2, astray('pressure', 12000, 1.2)) },
  'low pressure in the first metre': { plan: on('S4', 0.2, astray('pressure', 6000, 1)) },
  'low pressure near the end': { plan: on('S4', -1.2, astray('pressure', 6000, 1)) },
  'low pressure repaired': { plan: all(on('S5', 4, astray('pressure', 6200, 1.5)), on('S5', 6.5, secondPass(2.6))) },
  'rotation lost': { plan: on('S5', 4, astray('rpm', 0, 1.2, { torque: 1 })) },
  'rotation lost on isolation': { plan: on('Z2', 2, astray('rpm', 0, 1, { torque: 1 })) },
  'rotation slow': { plan: on('S5', 4, astray('rpm', 8, 1.2)) },
  'fast feed 1.2': { plan: on('S5', 3, fast(2.4, 3)) },
  'fast feed 1.5': { plan: on('S5', 3, fast(3, 2.5)) },
  'fast feed 3': { plan: on('S5', 3, fast(6, 3)) },
  'fast feed on isolation': { plan: on('Z2', 1, fast(2.4, 2)) },
  'data gap 20': { silent: silentAt(['S5', 4, 20]) },
  'data gap 60': { silent: silentAt(['S5', 4, 60]) },
  'data gap 120 over a joint end': { silent: silentAt(['S4', -1, 120]) },
  'data gap on isolation': { silent: silentAt(['Z2', 2, 40]) },
  'stop before connection': { manner: { stopBefore: 20 } },
  'circulating on bottom of a stand': {
    plan: on('S4', 6, (d) =>
      d.script.quietly(() => {
        d.script.go(5, { rpm: 0, torque: 0, hook: d.weight });
        d.script.go(1200, {});
        d.startTurning();
      }),
    ),
  },
  'pick up 5 m and back': {
    plan: on('S4', 8, (d) =>
      d.script.quietly(() => {
        const back = d.script.now.depth;
        d.script.run(back - 5, 6, { hook: d.weight + d.drag, torque: 4 }, { hook: 3, torque: 3 });
        d.script.go(10, {});
        d.script.run(back - 0.05, 5, { hook: d.weight - 10 }, { hook: 3 });
      }),
    ),
  },
  'down through expanded ground': {
    plan: on('S5', 2, (d) =>
      d.script.quietly(() => {
        const back = d.script.now.depth;
        d.stopAll();
        d.script.run(back - 10, 12, { hook: d.weight + d.drag }, { hook: 3 });
        d.script.go(10, {});
        d.script.run(back - 0.3, 8, { hook: d.weight - 30 }, { hook: 3 });
        d.pumps(d.manner.screenKpa);
        d.startTurning();
      }),
    ),
  },
  'slow feed 0.2': { manner: { feed: 0.2 }, layout: { joints: ['H9', 'Z3:0.5:2.5', 'B6', 'S6:0.5:5.5'] } },
  'feed at 95 %': { manner: { feed: 1.5 } },
  'pressure 2 % above min': {
    manner: { isolationKpa: 16320, screenKpa: 7650 },
    stream: { noise: { ...QUIET_NOISE, pressure: 30 } },
  },
  'waiting 30 min, constant': {
    plan: on('S4', 6, (d) =>
      d.script.quietly(() => {
        d.stopAll();
        d.script.go(1800, {});
        d.pumps(d.manner.screenKpa);
        d.startTurning();
      }),
    ),
    stream: { noise: {} },
  },
  'stop of 60 s turning': { manner: { stopBefore: 60 } },
  'stop of 5 min turning': { manner: { stopBefore: 300 } },
  'circulating on bottom, turning': {
    plan: on('S4', 6, (d) =>
      d.script.quietly(() => {
        d.standStill(600);
      }),
    ),
  },
  'connection in an isolation': { manner: { firstBlock: 9.5 } },
  'connection just before a start': { manner: { firstBlock: 22 } },
  'slips low 0.3, no pick-up, light': { manner: { slipsLow: 0.3, pickUp: 0, outOfSlips: 0.5 }, layout: { top: 600 } },
  'stall after a connection': {
    plan: (d) =>
      void d.planned.push({
        depth: inJoint(d, 'S4', 1),
        act: (e) => {
          e.connection();
          e.script.run(
            e.script.now.depth + 0.4,
            1.2,
            { torque: 8, hook: e.weight - setDown(e, 30) },
            { torque: 2, hook: 2 },
          );
          axialStall(100)(e);
        },
      }),
  },
  'low pressure after a connection': {
    manner: { firstBlock: 20, stands: [20] },
    plan: (d) =>
      void d.planned.push({
        depth: inJoint(d, 'S4', 1),
        act: (e) => {
          e.connection();
          astray('pressure', 6000, 1.2)(e);
        },
      }),
  },
  'fast feed after a connection': {
    plan: (d) =>
      void d.planned.push({
        depth: inJoint(d, 'S4', 1),
        act: (e) => {
          e.connection();
          e.script.run(e.script.now.depth + 0.3, 1.2, { torque: 8 });
          fast(3.5, 2.5)(e);
        },
      }),
  },
  'slips low, never swept again': {
    manner: { firstBlock: 40 },
    plan: (d) =>
      void d.planned.push({
        depth: inJoint(d, 'S5', 4),
        act: (e) =>
          e.script.quietly(() => {
            e.stopAll();
            e.script.run(e.script.now.depth + 0.5, 3, { hook: e.weight - e.drag }, { hook: 3 });
            e.slips(() => e.script.go(60, { block: e.script.now.block + 10 }));
            e.script.go(10, {});
            e.pumps(e.manner.screenKpa);
            e.startTurning();
          }),
      }),
  },
  'pressure off between, connection in screen': { manner: { between: 'off', firstBlock: 26 } },
  'everything at once': {
    grade: 'dirty',
    manner: { firstBlock: 30 },
    stream: { noise: NOISY, dirt: DIRT, flag: 'YN' },
    plan: all(
      on('Z2', 2, astray('pressure', 12000, 1)),
      on('S4', 3, axialStall(100)),
      on('S4', 7, fast(4, 2)),
      on('S5', 3, astray('rpm', 0, 1, { torque: 1 })),
      on('S5', 7, rotationalStall(80)),
      on('S6', 4, astray('pressure', 0, 1.5)),
    ),
  },
  'everything, field': {
    layout: { units: 'field', streamUnits: 'field' },
    manner: { firstBlock: 30 },
    plan: all(
      on('Z2', 2, astray('pressure', 12000, 1)),
      on('S4', 3, axialStall(100)),
      on('S4', 7, fast(4, 2)),
      on('S5', 3, astray('rpm', 0, 1, { torque: 1 })),
      on('S5', 7, rotationalStall(80)),
      on('S6', 4, astray('pressure', 0, 1.5)),
    ),
  },
  'everything, every 2 s, no noise': {
    stream: { steps: [2], noise: {} },
    plan: all(
      on('Z2', 2, astray('pressure', 12000, 1)),
      on('S4', 3, axialStall(100)),
      on('S4', 7, fast(4, 2)),
      on('S5', 3, astray('rpm', 0, 1, { torque: 1 })),
      on('S5', 7, rotationalStall(80)),
      on('S6', 4, astray('pressure', 0, 1.5)),
    ),
  },
  'everything, slow': {
    grade: 'slow',
    stream: SLOW,
    plan: all(
      on('Z2', 2, astray('pressure', 12000, 1)),
      on('S4', 3, axialStall(100)),
      on('S4', 7, fast(4, 2)),
      on('S5', 3, astray('rpm', 0, 1, { torque: 1 })),
      on('S5', 7, rotationalStall(80)),
      on('S6', 4, astray('pressure', 0, 1.5)),
    ),
  },
  'everything, tenth foot': {
    grade: 'dirty',
    layout: { units: 'field', streamUnits: 'field' },
    stream: { depthPrint: 'tenth foot' },
    plan: all(
      on('Z2', 2, astray('pressure', 12000, 1)),
      on('S4', 3, axialStall(100)),
      on('S4', 7, fast(4, 2)),
      on('S5', 3, astray('rpm', 0, 1, { torque: 1 })),
      on('S5', 7, rotationalStall(80)),
      on('S6', 4, astray('pressure', 0, 1.5)),
    ),
  },
  'pull out, dirty': {
    grade: 'dirty',
    stream: { noise: NOISY, dirt: DIRT },
    trip: (d) => {
      plainTrip(d);
      d.pullStands(6, 27);
      d.script.go(60, {});
    },
  },
  'pull out, slow': {
    grade: 'slow',
    stream: SLOW,
    trip: (d) => {
      plainTrip(d);
      d.pullStands(6, 27);
      d.script.go(60, {});
    },
  },
  'pull out after the middle of a joint': {
    trip: tripOf((d) => {
      d.expandTo(inJoint(d, 'S5', 5));
      d.pullStands(3, 27);
      d.script.go(30, {});
    }),
  },
  'fast stands in': {
    trip: (d) => {
      d.script.quietly(() => {
        for (let i = 0; i < 3; i++) {
          d.script.run(d.script.now.depth - 20, 15, { hook: d.weight + d.drag }, { hook: 2 });
          d.slips(() => d.script.go(40, { block: d.script.now.block - 20 }));
        }
        for (let i = 0; i < 3; i++) {
          d.script.run(d.script.now.depth + 20, 20, { hook: d.weight - d.drag }, { hook: 2 });
          d.slips(() => d.script.go(40, { block: d.script.now.block + 20 }));
        }
      });
      plainTrip(d);
    },
  },
  'instant, slow frames': {
    grade: 'slow',
    manner: { pumpRamp: 0.5, rotationRamp: 0.5, transfer: 0, think: 1 },
    stream: SLOW,
  },
  'shallow, slow frames': { grade: 'slow', layout: { top: 500 }, manner: { stringKn: 90 }, stream: SLOW },
  'shallow, dirty': {
    grade: 'dirty',
    layout: { top: 500 },
    manner: { stringKn: 90 },
    stream: { noise: { ...NOISY, hook: 6 }, dirt: DIRT },
  },
  'shallow, very light': { layout: { top: 500 }, manner: { stringKn: 45 } },
  'very light, weight in plan': { layout: { top: 500, blockWeightKn: 180 }, manner: { stringKn: 45 } },
  'very light, flag': { layout: { top: 500 }, manner: { stringKn: 45 }, stream: { flag: '10' } },
  'many connections': { manner: { stands: [9, 12], firstBlock: 5, inSlips: 45, blockRaise: 25 } },
  'slips 10 min': { manner: { inSlips: 600 } },
  'slips 1 hour, no noise': { manner: { inSlips: 3600 }, stream: { noise: {} } },
  'pressure lowered while standing': {
    plan: on('S4', 5, (d) => {
      d.standStill(5);
      d.pumps(3000);
      d.script.go(60, {});
      d.pumps(d.manner.screenKpa);
    }),
  },
  'stall then gap': { plan: on('S4', 5, axialStall(120)), silent: silentAt(['S5', 3, 45]) },
  'gap through a connection': { silent: (d) => [[d.script.slipsTimes[0]! - 20, d.script.slipsTimes[0]! + 400]] },
  'gap just after a connection': { silent: (d) => [[d.script.slipsTimes[1]! + 260, d.script.slipsTimes[1]! + 330]] },
  'heave 6 cm over 8 s, no feed max': {
    grade: 'dirty',
    layout: { noFeedMax: true },
    stream: { heave: { metres: 0.03, seconds: 8 } },
  },
  'heave 5 cm, connections': {
    grade: 'dirty',
    layout: { noFeedMax: true },
    manner: { stands: [9], firstBlock: 6 },
    stream: { heave: { metres: 0.05, seconds: 10 } },
  },
  'depth lags 2 s': { stream: { depthLag: 2 } },
  'depth lags 1 s, dm': { grade: 'dirty', stream: { depthLag: 1, depthPrint: 'dm', blockPrint: 'cm' } },
  'hookload filtered': { stream: { hookFilter: 6 } },
  'no flow': { stream: { omit: ['0130'] } },
  'no torque': { stream: { omit: ['0118'] } },
  'no block': { stream: { omit: ['0112'] } },
  'no block, dm': { grade: 'dirty', stream: { omit: ['0112'], depthPrint: 'dm' } },
  'no hookload, flag': { stream: { omit: ['0114'], flag: '10' } },
  'other items': { stream: { extra: ['01103000.00', '012361', '012458', '0142-999.25', '01505', '99011.5'] } },
  'depth dm, block mm': { grade: 'dirty', stream: { depthPrint: 'dm', blockPrint: 'mm' } },
  'slow dm, block mm': { grade: 'slow', stream: { ...SLOW, blockPrint: 'mm' } },
  'dirty, every 2 s': { grade: 'dirty', layout: { gapAfter: 10 }, stream: { steps: [2], noise: NOISY, dirt: DIRT } },
  'dirty, jitter': { grade: 'dirty', stream: { steps: [1.03], noise: NOISY, dirt: DIRT } },
  'spikes at connections': {
    grade: 'dirty',
    manner: { stands: [9], firstBlock: 6 },
    stream: { dirt: { spikes: { hook: 0.01, block: 0.003 } } },
  },
  'nulls, no block noise': { grade: 'dirty', stream: { noise: {}, dirt: { nulls: 0.03 } } },
  'nulls, slow': { grade: 'slow', layout: { gapAfter: 15 }, stream: { ...SLOW, dirt: { nulls: 0.01 } } },
  'wraps at connections': {
    grade: 'dirty',
    manner: { stands: [9], firstBlock: 6 },
    stream: { wraps: [300, 900, 1300, 1700, 2100] },
  },
  'pressure tests in blank': {
    manner: { between: 'off' },
    plan: (d) => {
      const blank = d.layout.joints.find((j) => j.kind === 'blank')!;
      d.planned.push({
        depth: blank.top + 4 + d.layout.tools[0]!,
        act: () =>
          d.script.quietly(() => {
            d.stopAll();
            for (const p of [5000, 15000, 28000]) {
              d.pumps(p, 40);
              d.script.go(300, {});
            }
            d.pumps(0, 20);
            d.startTurning();
          }),
      });
    },
  },
};
