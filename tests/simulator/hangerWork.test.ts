/** The hanger's work as the simulated rig plays it. */
import { describe, expect, it } from 'vitest';
import { HANGER_FAULTS } from '../../ingest/simulator/scenario.ts';
import { scenarioProblems } from '../../ingest/simulator/scenarioProblems.ts';
import { simulateTrip } from '../../ingest/simulator/simulateTrip.ts';
import { compileJob } from '../../src/plan/job.ts';
import { hangerPlan } from '../support/hangerTrips.ts';
import { testPlan, testScenario } from '../support/trips.ts';

const play = (faults: readonly (typeof HANGER_FAULTS)[number][] = [], openSub = false) =>
  simulateTrip(testScenario(1, { hanger: { faults: [...faults], openSub } }), hangerPlan());

const CLEAN = ['ball', 'pressure step', 'pressure step', 'pressure step', 'push and pull', 'annulus test', 'release'];

describe('a scenario with the hanger', () => {
  it('plays every step before the expansion, and expands everything after it', () => {
    const { truth } = play([], true);
    expect(truth.hanger!.map(({ kind }) => kind)).toEqual([...CLEAN, 'ball', 'sub opened']);
    const firstExpanded = truth.phases.find(({ phase }) => phase.startsWith('expanding'))!;
    expect(truth.hanger![6]!.toMs).toBeLessThan(firstExpanded.fromMs);
    expect(truth.hanger![7]!.fromMs).toBeGreaterThan(firstExpanded.toMs);
    for (const joint of truth.joints) expect(Math.abs(joint.expandedM - joint.requiredM)).toBeLessThan(0.002);
  });

  it.each(HANGER_FAULTS)('plays the fault "%s", and the step again', (fault) => {
    const { truth } = play([fault]);
    const kinds = truth.hanger!.map(({ kind }) => kind);
    expect(kinds.filter((kind) => kind !== fault)).toEqual(CLEAN);
    expect(kinds.includes(fault)).toBe(fault !== 'ball overdue');
  });

  it('weighs the string with the liner before the release and without it after', () => {
    const { readings, truth } = play();
    const mean = (fromMs: number, toMs: number) => {
      const loads = readings
        .filter(({ sourceMs }) => sourceMs >= fromMs && sourceMs <= toMs)
        .map(({ hookload }) => hookload);
      return loads.reduce((sum, one) => sum + one, 0) / loads.length;
    };
    const release = truth.hanger!.at(-1)!;
    const change = mean(truth.fromMs, truth.fromMs + 15_000) - mean(release.toMs + 55_000, release.toMs + 90_000);
    expect(Math.abs(change - 110)).toBeLessThan(5);
  });

  it('needs a plan with a hanger or a ball, and a string', () => {
    const scenario = testScenario(1, { hanger: {} });
    expect(scenarioProblems(scenario, compileJob(hangerPlan()))).toEqual([]);
    expect(scenarioProblems(scenario, compileJob(testPlan())).map(({ path }) => path)).toEqual(['hanger', 'hanger']);
  });

  it('is the same trip for the same seed', () => {
    expect(play(['hanger moves'])).toEqual(play(['hanger moves']));
  });
});

it('a scenario without the hanger does not notice that the plan has one', () => {
  const bare = simulateTrip(testScenario(3), hangerPlan());
  const { balls: _b, hanger: _h, ...plan } = hangerPlan();
  expect(bare).toEqual(simulateTrip(testScenario(3), plan));
  expect(bare.truth.hanger).toBeUndefined();
});
