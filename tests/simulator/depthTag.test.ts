/** The simulated rig tags its shear device: the reported depth is wrong, and what is read finds by how much. */
import { describe, expect, it } from 'vitest';
import { scenarioProblems } from '../../ingest/simulator/scenarioProblems.ts';
import { simulateTrip } from '../../ingest/simulator/simulateTrip.ts';
import { createWitsReader } from '../../ingest/wits/witsReader.ts';
import { recordOfStream } from '../../server/cli/recordOfStream.ts';
import { compileJob } from '../../src/plan/job.ts';
import { type Plan, planSchema } from '../../src/plan/planSchema.ts';
import { testPlan, testScenario, trip } from '../support/trips.ts';

/** The device stands 1.5 m above the part of Z1 to be expanded. */
const tagPlan = (): Plan =>
  planSchema.parse({
    ...testPlan(),
    string: [{ name: 'drill pipe', length: 2400, od: 127, id: 108.6, mass: 31 }],
    depthTag: { depth: 2418.6, tool: 'upper', setDown: { min: 40 }, window: 5 },
  });

describe('a simulated depth tag', () => {
  it.each([
    [1.8, 1],
    [-1.8, 2],
    [0.4, 3],
  ])('finds a depth error of %d m to 0.1 m, and lengths hold after it: seed %i', async (depthError, seed) => {
    const plan = tagPlan();
    const { bytes, truth } = trip(seed, plan, { rig: { depthError }, tag: {} });
    async function* chunks() {
      yield bytes;
    }
    const record = await recordOfStream(compileJob(plan), [], { name: 'trip', chunks }, (_head, stream, sink) =>
      createWitsReader(stream, sink),
    );
    expect(record.depth!.corrected).toBe('by the tag');
    expect(Math.abs(record.depth!.correction + depthError)).toBeLessThan(0.1);
    expect(record.steps!.filter((step) => step.kind === 'depth tag')).toHaveLength(1);
    expect(record.events.filter((event) => event.kind === 'depth mismatch')).toHaveLength(1);
    truth.joints.forEach((joint, i) => {
      expect(Math.abs(record.joints[i]!.expanded - joint.expandedM), joint.name).toBeLessThan(0.1);
    });
  });

  it('springs the tool down and leaves the block where it was', () => {
    const { readings } = simulateTrip(testScenario(1, { tag: {}, noise: 0 }), tagPlan());
    const at = readings.findIndex((reading, i) => i > 0 && readings[i - 1]!.setDown > 50 && reading.setDown < 1);
    expect(at).toBeGreaterThan(0);
    expect(Math.abs(readings[at]!.blockPosition - readings[at - 1]!.blockPosition)).toBeLessThanOrEqual(0.03);
    expect(readings[at + 4]!.hookload - readings[at - 1]!.hookload).toBeGreaterThan(35);
  });

  it('needs a device and a string in the plan', () => {
    const job = compileJob(testPlan());
    const paths = (input: object) => scenarioProblems(testScenario(1, input), job).map((problem) => problem.path);
    expect(paths({ tag: {} })).toEqual(['tag', 'tag']);
    expect(paths({ rig: { gives: true } })).toEqual(['rig.gives']);
    expect(paths({})).toEqual([]);
  });

  it('changes nothing of a trip that has none of it', () => {
    const plain = simulateTrip(testScenario(3), testPlan());
    const withParts = simulateTrip(testScenario(3), { ...testPlan(), depthTag: tagPlan().depthTag! });
    expect(withParts).toEqual(plain);
  });
});
