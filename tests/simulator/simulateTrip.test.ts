import { describe, expect, test } from 'vitest';
import { type RigReading, simulateTrip, type Trip } from '../../ingest/simulator/simulateTrip.ts';
import { compileJob } from '../../src/plan/job.ts';
import type { Plan } from '../../src/plan/planSchema.ts';
import {
  clean1Hz,
  fieldPlan,
  INCIDENT_NAMES,
  INCIDENTS,
  isolationThenScreen,
  otherRig,
  pressureKept,
  randomPlan,
  randomTrip,
  testPlan,
  testScenario,
  trip,
  withIncident,
} from '../support/trips.ts';

const SEEDS = [1, 2, 3, 4, 5, 6, 7, 8];
const cleanTrip = (noise = 1): Trip => simulateTrip(testScenario(1, { noise }), testPlan());

/** Runs of readings in slips. */
function slipsRuns(readings: readonly RigReading[]): RigReading[][] {
  const runs: RigReading[][] = [];
  readings.forEach((reading, i) => {
    if (!reading.inSlips) return;
    if (readings[i - 1]?.inSlips) runs.at(-1)!.push(reading);
    else runs.push([reading]);
  });
  return runs;
}

/** Expanded metres of a joint by the plainest reading of the samples: both ends of a step within every bound. */
function plainExpandedM(plan: Plan, readings: readonly RigReading[], name: string): number {
  const job = compileJob(plan);
  const joint = job.joints.find((j) => j.name === name)!;
  const { recipe } = joint;
  const offset = job.tools[recipe!.tools[0]!]!.offsetM;
  const done = new Set<number>();
  readings.slice(1).forEach((b, i) => {
    const a = readings[i]!;
    const seconds = (b.sourceMs - a.sourceMs) / 1000;
    if (seconds > job.stream.gapAfterMs / 1000) return;
    // Over some seconds, since one step of the depth in one second is already 0.6 m/min.
    const early = readings[Math.max(0, i - 2)]!;
    const late = readings[Math.min(readings.length - 1, i + 3)]!;
    const feed = ((late.bitDepth - early.bitDepth) / (late.sourceMs - early.sourceMs)) * 60_000;
    if (feed > recipe!.feedMaxMPerMin + 0.15) return;
    if (Math.min(a.standpipePressure, b.standpipePressure) < recipe!.pressureMinKpa) return;
    if (Math.min(a.rotation, b.rotation) < recipe!.rpmMin) return;
    const from = Math.max(a.bitDepth - offset, joint.from);
    const to = Math.min(b.bitDepth - offset, joint.to);
    for (let mm = Math.round(from * 1000); mm < Math.round(to * 1000); mm++) done.add(mm);
  });
  return done.size / 1000;
}

describe('a clean trip', () => {
  test('the same seed gives the same bytes and the same truth, another seed other bytes', () => {
    const one = clean1Hz(1);
    const again = clean1Hz(1);
    expect(Buffer.compare(one.bytes, again.bytes)).toBe(0);
    expect(again.truth).toEqual(one.truth);
    expect(Buffer.compare(one.bytes, clean1Hz(2).bytes)).not.toBe(0);
  });

  test.each(SEEDS)('expands every joint whole and has nothing go wrong (seed %d)', (seed) => {
    const trips = [
      trip(seed, testPlan()),
      trip(seed, fieldPlan()),
      pressureKept(seed),
      otherRig(seed),
      randomTrip(seed),
    ];
    for (const { truth } of trips) {
      expect(truth.incidents).toEqual([]);
      for (const joint of truth.joints) {
        expect(Math.abs(joint.expandedM - joint.requiredM)).toBeLessThan(0.002);
        expect(joint.unprovenM).toBe(0);
      }
    }
  });

  test('has phases that follow one another without a hole', () => {
    const { phases, fromMs, toMs } = cleanTrip().truth;
    expect(phases[0]!.fromMs).toBe(fromMs);
    expect(phases.at(-1)!.toMs).toBe(toMs);
    phases.slice(1).forEach((phase, i) => {
      expect(phase.fromMs).toBe(phases[i]!.toMs);
    });
  });

  test.each(SEEDS)('has as many stand connections as stretches in slips (seed %d)', (seed) => {
    const { readings, truth } = simulateTrip(testScenario(seed), randomPlan(seed));
    expect(truth.connections).toBeGreaterThan(0);
    expect(slipsRuns(readings)).toHaveLength(truth.connections);
  });

  test('stays within the windows of the recipe while it expands', () => {
    const { readings, truth } = cleanTrip();
    const { recipes } = compileJob(testPlan());
    for (const phase of truth.phases) {
      if (!phase.phase.startsWith('expanding')) continue;
      const recipe = phase.phase === 'expanding isolation' ? recipes.isolation! : recipes.screen!;
      // The first and last seconds of a phase may still belong to the ramps around it.
      const inside = readings.filter((r) => r.sourceMs > phase.fromMs + 1e4 && r.sourceMs < phase.toMs - 9e4);
      for (const reading of inside) {
        if (reading.setDown < 10) continue;
        expect(reading.standpipePressure).toBeGreaterThan(recipe.pressureMinKpa * 1.05);
        expect(reading.standpipePressure).toBeLessThan(recipe.pressureMaxKpa * 0.95);
        expect(reading.rotation).toBeGreaterThan(recipe.rpmMin * 1.2);
        expect(reading.torque).toBeLessThan(recipe.torqueMaxKnm * 0.95);
      }
    }
  });
});

describe('a stand connection', () => {
  const { readings } = cleanTrip(0);
  const [run] = slipsRuns(readings);
  const settled = run!.slice(5);

  test('hangs the block alone on the hook while the end depth stands and the block goes up by a stand', () => {
    for (const reading of settled) expect(reading.hookload).toBeCloseTo(180, 0);
    expect(new Set(run!.map((reading) => reading.bitDepth)).size).toBe(1);
    expect(run!.at(-1)!.blockPosition - run![0]!.blockPosition).toBeCloseTo(28.5, 1);
  });

  test('has no flow, and make-up torque with some rotation', () => {
    for (const reading of settled) expect(reading.flowIn).toBe(0);
    expect(Math.max(...settled.map((reading) => reading.torque))).toBeGreaterThan(8);
    expect(Math.max(...settled.map((reading) => reading.rotation))).toBeGreaterThan(5);
  });
});

describe('out of slips', () => {
  test('block and end depth move together', () => {
    const { readings } = cleanTrip(0);
    readings.slice(1).forEach((b, i) => {
      const a = readings[i]!;
      if (a.inSlips || b.inSlips) return;
      expect(b.bitDepth - a.bitDepth + (b.blockPosition - a.blockPosition)).toBeCloseTo(0, 1);
    });
  });
});

describe('incidents', () => {
  test.each(INCIDENT_NAMES)('%s is in the truth, on its joint, and alone', (name) => {
    const { truth } = withIncident(1, name);
    expect(truth.incidents).toHaveLength(1);
    expect(truth.incidents[0]).toMatchObject({ kind: INCIDENTS[name].kind, joint: INCIDENTS[name].joint });
    expect(truth.incidents[0]!.toMs).toBeGreaterThan(truth.incidents[0]!.fromMs + 30_000);
  });

  // What the stretch costs by hand: its metres less the ramps at its ends, at most some centimetres.
  test.each([
    ['stall', 'S1', 10.5, 0],
    ['low pressure', 'S1', 8.5, 0],
    ['low pressure repaired', 'S1', 10.5, 0],
    ['low pressure on an isolation joint', 'Z1', 4.1, 0],
    ['high pressure', 'S1', 10.5, 0],
    ['rotation lost', 'S2', 9.3, 0],
    ['fast feed', 'S2', 8.3, 0],
    // 40 s at 1.2 m/min.
    ['data gap', 'S2', 9.5, 0.8],
  ] as const)('%s leaves %s with %d m expanded and %d m unproven', (name, joint, expandedM, unprovenM) => {
    const found = withIncident(1, name).truth.joints.find((j) => j.name === joint)!;
    expect(Math.abs(found.expandedM - expandedM)).toBeLessThan(0.06);
    expect(Math.abs(found.unprovenM - unprovenM)).toBeLessThan(0.06);
  });

  test('a data gap is silence in the stream, just as long as the truth says', () => {
    const { readings, truth } = simulateTrip(testScenario(1, { incidents: [INCIDENTS['data gap']] }), testPlan());
    const [gap] = truth.incidents;
    const last = readings.findIndex((reading) => reading.sourceMs === gap!.fromMs);
    expect(readings[last + 1]!.sourceMs).toBe(gap!.toMs);
    expect(gap!.toMs - gap!.fromMs).toBe(40_000);
  });

  test('a stall shows as torque near its limit, falling rotation and growing set-down', () => {
    const { readings, truth } = simulateTrip(testScenario(1, { noise: 0, incidents: [INCIDENTS.stall] }), testPlan());
    const [stall] = truth.incidents;
    const at = (ms: number) => readings.find((reading) => reading.sourceMs >= ms)!;
    const before = at(stall!.fromMs - 10_000);
    const late = at(stall!.toMs - 5_000);
    expect(late.torque).toBeGreaterThan(before.torque * 1.2);
    expect(late.rotation).toBeLessThan(before.rotation * 0.3);
    expect(late.setDown).toBeGreaterThan(before.setDown * 2);
    expect(late.bitDepth - before.bitDepth).toBeLessThan(0.3);
  });
});

describe('the truth', () => {
  test.each(INCIDENT_NAMES)('agrees with the plainest reading of noise-free samples (%s)', (name) => {
    const plan = testPlan();
    const { readings, truth } = simulateTrip(testScenario(1, { noise: 0, incidents: [INCIDENTS[name]] }), plan);
    for (const joint of truth.joints) {
      if (joint.requiredM === 0) continue;
      expect(Math.abs(plainExpandedM(plan, readings, joint.name) - joint.expandedM)).toBeLessThan(0.08);
    }
  });

  test('of a screen right below an isolation joint: the driller goes back up before he works it', () => {
    const { truth } = isolationThenScreen(1);
    const order = truth.phases.map((phase) => phase.phase);
    const back = order.indexOf('picking up');
    expect(order.indexOf('expanding isolation')).toBeLessThan(back);
    expect(order.indexOf('expanding screen')).toBeGreaterThan(back);
  });
});

test.each([
  ['0.01 m', 0.01],
  ['0.1 m', 0.1],
  ['0.1 ft', 0.03048],
] as const)('depth comes in steps of %s', (depthResolution, step) => {
  const { readings } = simulateTrip(testScenario(1, { stream: { depthResolution } }), testPlan());
  for (const reading of readings) {
    const steps = reading.bitDepth / step;
    expect(Math.abs(steps - Math.round(steps))).toBeLessThan(1e-6);
  }
});
