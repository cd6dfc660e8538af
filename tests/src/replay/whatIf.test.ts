import * as fc from 'fast-check';
import { beforeAll, describe, expect, test } from 'vitest';
import { planSchema } from '../../../src/plan/planSchema.ts';
import type { RunRecord } from '../../../src/record/recordSchema.ts';
import { CHANGES } from '../../../src/replay/changes.ts';
import { compareRecords } from '../../../src/replay/compareRecords.ts';
import {
  changedPlan,
  emptyScenario,
  type Scenario,
  scenarioFromText,
  scenarioProblems,
  scenarioToText,
  scenarioWords,
} from '../../../src/replay/scenario.ts';
import { countCourse, courseUnder } from '../../../src/replay/whatIf.ts';
import { courseOf, demoCourse, type ReadCourse } from '../../support/demoCourse.ts';
import { withIncident } from '../../support/trips.ts';

let demo: ReadCourse;
let original: RunRecord;
beforeAll(async () => {
  demo = await demoCourse();
  original = countCourse(demo.course, demo.source).record;
});

const under = (change: Partial<Scenario>): RunRecord =>
  countCourse(courseUnder(demo.course, { ...emptyScenario('test'), ...change }), demo.source).record;

describe('the demo trip counted again', () => {
  test('under nothing: the record itself', () => {
    expect(JSON.stringify(under({}))).toBe(JSON.stringify(original));
    expect(compareRecords(original, under({}))).toEqual({
      units: 'metric',
      joints: [],
      alike: original.joints.length,
      eventsCome: [],
      eventsGone: [],
      gained: 0,
      lost: 0,
    });
  });

  test('a pressure that was too low is not, under a lower bound: the joint is expanded, its event goes', () => {
    const { plan, bytes } = withIncident(3, 'low pressure');
    const { course, source } = courseOf(plan, bytes);
    const before = countCourse(course, source).record;
    const scenario = { ...emptyScenario('lower'), bounds: { 'screen pressure min': 1000 } };
    const { joints, eventsGone, eventsCome, gained, lost } = compareRecords(
      before,
      countCourse(courseUnder(course, scenario), source).record,
    );
    expect(joints.map(({ name, before: was, after }) => [name, was, after])).toEqual([['S1', 'short', 'expanded']]);
    expect(eventsGone.map(({ kind, joint }) => [kind, joint])).toEqual([['low pressure', 'S1']]);
    expect(eventsCome).toEqual([]);
    // Two metres were rolled with too little.
    expect(gained).toBeGreaterThan(1.8);
    expect(gained).toBeLessThan(2.2);
    expect(lost).toBe(0);
  });

  test('under bounds that nothing meets: nothing is expanded, and all of it is lost', () => {
    const record = under({ bounds: { 'screen rotation min': 1000, 'isolation rotation min': 1000 } });
    expect(record.joints.every(({ expanded }) => expanded === 0)).toBe(true);
    const expanded = original.joints.reduce((sum, joint) => sum + joint.expanded, 0);
    expect(compareRecords(original, record).lost).toBeCloseTo(expanded, 1);
    expect(compareRecords(original, record).gained).toBe(0);
  });

  test('under another acceptance verdicts change and no metre does', () => {
    const { joints, gained, lost, eventsCome, eventsGone } = compareRecords(
      original,
      under({ bounds: { coverage: 0, 'longest gap': 1000 } }),
    );
    expect([gained, lost, eventsCome, eventsGone]).toEqual([0, 0, [], []]);
    expect(joints.length).toBeGreaterThan(0);
    for (const { before, after } of joints)
      expect([before, after]).toEqual([expect.stringMatching(/short|unproven/), 'expanded']);
  });

  test('the whole depth shifted down is the liner shifted up', () => {
    const shifted = under({ shift: 0.5 });
    const { plan } = demo.course;
    const raised = { ...plan, liner: { ...plan.liner, top: plan.liner.top - 0.5 } };
    const other = countCourse({ ...demo.course, plan: raised }, demo.source).record;
    expect(shifted.joints.map(({ name, verdict }) => [name, verdict])).toEqual(
      other.joints.map(({ name, verdict }) => [name, verdict]),
    );
    shifted.joints.forEach((joint, i) => {
      expect(joint.expanded, joint.name).toBeCloseTo(other.joints[i]!.expanded, 2);
    });
    const { gained, lost } = compareRecords(original, shifted);
    expect(gained + lost).toBeGreaterThan(0);
  });

  test('a longer joint moves those below it, and only those', () => {
    const { joints } = demo.course.plan.liner;
    const { name, length } = joints[2]!;
    const record = under({ lengths: { [name]: length + 1 } });
    record.joints.forEach((joint, i) => {
      expect(joint.top - original.joints[i]!.top).toBeCloseTo(i <= 2 ? 0 : 1, 6);
    });
  });

  test('a correction throughout stands in place of those that were made', () => {
    const first = demo.samples[1000]!;
    const entry = { by: 'a', action: 'set depth' as const, tool: demo.course.plan.tools[0]!.name, depth: 1000 };
    const course = { ...demo.course, entries: [{ ...entry, at: new Date(first.sourceMs + 1).toISOString() }] };
    const scenario = { ...emptyScenario('as read'), correction: 0 };
    const { record } = countCourse(courseUnder(course, scenario), demo.source);
    expect(JSON.stringify(record)).toBe(JSON.stringify(original));
    expect(JSON.stringify(countCourse(course, demo.source).record)).not.toBe(JSON.stringify(original));
  });
});

describe('a scenario', () => {
  test.each([...CHANGES])('%s: what is set is what the plan then says, and it still is a plan', (_name, kind) => {
    const { plan } = demo.course;
    const value = Math.min(kind.most, Math.max(kind.least, (kind.of(plan) ?? 1) * 0.5));
    const changed = kind.with(plan, value);
    expect(kind.of(changed)).toBe(value);
    expect(planSchema.parse(changed)).toEqual(planSchema.parse(changed));
    expect(kind.of(plan)).not.toBe(kind.of(changed));
  });

  const number = fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e9, max: 1e9 }).map((value) => value + 0);
  const record = fc.dictionary(fc.string({ minLength: 1 }), number, { maxKeys: 5, noNullPrototype: true });
  const scenario: fc.Arbitrary<Scenario> = fc.record({
    name: fc.string({ minLength: 1, maxLength: 80 }),
    bounds: record,
    lengths: record,
    shift: number,
    correction: fc.option(number),
    tag: fc.constantFrom(null, 'apply', 'offer'),
  });

  test('any comes back out of a link', () => {
    fc.assert(
      fc.property(scenario, (one) => {
        const text = scenarioToText(one);
        const read = scenarioFromText(text);
        expect(read === null ? null : scenarioToText(read)).toBe(text);
        expect(read).toEqual(one);
      }),
    );
  });

  test('any text is a scenario or none, and never throws', () => {
    fc.assert(fc.property(fc.string(), (text) => void scenarioFromText(text)));
    for (const text of [
      '',
      'name=',
      'name=a&tag=maybe',
      'name=a&shift=deep',
      'name=a&b.x=',
      'name=a&%=1',
      'name=a&x=1',
    ]) {
      expect(scenarioFromText(text), text).toBeNull();
    }
  });

  test.each<[Partial<Scenario>, RegExp]>([
    [{ bounds: { 'screen pressure min': 1e9 } }, /screen pressure min.*found 1000000000, expected/],
    [{ bounds: { 'screen steam min': 1 } }, /not known/],
    [{ bounds: { 'screen pressure min': 20_000, 'screen pressure max': 10_000 } }, /recipes\.screen\.pressure/],
    [{ lengths: { nobody: 3 } }, /no such joint/],
    [{ shift: 2000 }, /shift.*at most 1000/],
    [{ correction: Number.NaN }, /correction/],
  ])('%j is refused', (change, says) => {
    const problems = scenarioProblems(demo.course.plan, { ...emptyScenario('x'), ...change });
    expect(problems.map(({ path, text }) => `${path}: ${text}`).join('\n')).toMatch(says);
  });

  test('is said in words, with what the plan says', () => {
    const { plan } = demo.course;
    const one = {
      ...emptyScenario('softer'),
      bounds: { 'screen pressure min': 7000 },
      shift: 0.5,
      tag: 'apply' as const,
    };
    expect(scenarioProblems(plan, one)).toEqual([]);
    expect(scenarioWords(plan, one)).toEqual([
      `Screens: pressure min: 7000 (plan ${plan.recipes.screen!.pressure!.min})`,
      'Whole depth shifted by +0.5',
      'Depth tag applied',
    ]);
    expect(changedPlan(plan, one).recipes.screen!.pressure!.min).toBe(7000);
  });
});
