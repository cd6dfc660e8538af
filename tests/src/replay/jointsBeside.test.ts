import fc from 'fast-check';
import { beforeAll, describe, expect, test } from 'vitest';
import { complement, type IntervalSet, measure, toSpans, union } from '../../../src/intervals.ts';
import type { JointState } from '../../../src/live/messages.ts';
import { jointStateOf } from '../../../src/pipeline/view.ts';
import type { Joint } from '../../../src/plan/job.ts';
import { compareRecords } from '../../../src/replay/compareRecords.ts';
import { type JointsOf, jointsBeside } from '../../../src/replay/jointsBeside.ts';
import { emptyScenario, type Scenario } from '../../../src/replay/scenario.ts';
import { type CountedSide, countSide, courseUnder } from '../../../src/replay/whatIf.ts';
import { demoCourse, type ReadCourse } from '../../support/demoCourse.ts';

/** A liner of joints of ten metres, each to be expanded from one metre to nine, or not at all. */
function liner(top: number, joints: readonly [name: string, kind: Joint['kind'], expanded: IntervalSet][]): JointsOf {
  return {
    job: {
      joints: joints.map(([name, kind], index) => {
        const from = top + 10 * index;
        const isExpanded = kind === 'screen' || kind === 'isolation';
        const part = isExpanded ? { from: from + 1, to: from + 9, requiredM: 8 } : { from, to: from, requiredM: 0 };
        return { index, name, kind, top: from, bottom: from + 10, ...part } as Joint;
      }),
    },
    joints: joints.map(
      ([, , expanded], index) =>
        ({ index, expanded: toSpans(expanded.map((depth) => top + 10 * index + depth)) }) as unknown as JointState,
    ),
  };
}

const named = ({ job }: JointsOf, index: number | null): string => (index === null ? '-' : job.joints[index]!.name);
const paired = (a: JointsOf, b: JointsOf): string[] =>
  jointsBeside(a, b).pairs.map((pair) => `${named(a, pair.a)} ${named(b, pair.b)}`);

describe('which joints belong together', () => {
  test('those of one name, wherever they stand; what only one has stands alone', () => {
    const a = liner(100, [
      ['B1', 'blank', []],
      ['S1', 'screen', []],
      ['S2', 'screen', []],
    ]);
    const b = liner(300, [
      ['S2', 'screen', []],
      ['S1', 'screen', []],
      ['S9', 'screen', []],
    ]);
    expect(paired(a, b)).toEqual(['S1 S1', 'S2 S2', '- S9']);
    expect(jointsBeside(a, b).matchedBy).toBe('name');
  });

  test('of liners without a name in common those of a kind that take the same place', () => {
    const a = liner(100, [
      ['Z1', 'isolation', []],
      ['S1', 'screen', []],
      ['S2', 'screen', []],
    ]);
    const b = liner(300, [
      ['upper', 'screen', []],
      ['packer', 'isolation', []],
    ]);
    expect(paired(a, b)).toEqual(['Z1 packer', 'S1 upper', 'S2 -']);
    expect(jointsBeside(a, b).matchedBy).toBe('place');
  });
});

test.each<[string, IntervalSet, IntervalSet, [number, number][], [number, number][]]>([
  // what                      | expanded in A | in B         | gained             | lost, by hand, from the joint's top
  ['nothing', [1, 9], [1, 9], [], []],
  ['a gap closes', [1, 3, 5, 9], [1, 9], [[3, 5]], []],
  ['a gap opens', [1, 9], [1, 4, 4.5, 9], [], [[4, 4.5]]],
  ['it moves', [1, 4], [2, 5], [[4, 5]], [[1, 2]]],
  ['a sliver', [1, 4], [1, 4.001], [], []],
  ['beyond what is to be expanded', [1, 9], [0, 10], [], []],
])('gained and lost: %s', (_what, before, after, gained, lost) => {
  const [pair] = jointsBeside(liner(100, [['S1', 'screen', before]]), liner(250, [['S1', 'screen', after]])).pairs;
  const rounded = (spans: readonly (readonly number[])[]) => spans.map((span) => span.map((m) => Number(m.toFixed(6))));
  expect([rounded(pair!.gained), rounded(pair!.lost)]).toEqual([gained, lost]);
});

const spans = fc
  .array(fc.tuple(fc.integer({ min: 10, max: 90 }), fc.integer({ min: 1, max: 40 })), { maxLength: 5 })
  .map((list) =>
    list.reduce<IntervalSet>((set, [from, length]) => union(set, [from / 10, Math.min(90, from + length) / 10]), []),
  );

test('what is gained less what is lost is what is more; swapped, one is the other', () => {
  fc.assert(
    fc.property(spans, spans, (before, after) => {
      const a = liner(100, [['S1', 'screen', before]]);
      const b = liner(100, [['S1', 'screen', after]]);
      const pair = jointsBeside(a, b).pairs[0]!;
      const swapped = jointsBeside(b, a).pairs[0]!;
      expect(pair.gainedM - pair.lostM).toBeCloseTo(measure(after) - measure(before), 6);
      expect([swapped.gained, swapped.lost]).toEqual([pair.lost, pair.gained]);
      // What is gained was a gap before.
      const gaps = measure(complement(before, 1, 9));
      expect(pair.gainedM).toBeLessThanOrEqual(gaps + 1e-9);
    }),
  );
});

describe('on the demo trip', () => {
  let demo: ReadCourse;
  let original: CountedSide;
  beforeAll(async () => {
    demo = await demoCourse();
    original = countSide(demo.course, demo.source);
  });
  const jointsOf = ({ position: { run } }: CountedSide): JointsOf => ({
    job: run.job,
    joints: run.job.joints.map(({ index }) => jointStateOf(run, index)),
  });

  test.each<[string, Partial<Scenario>]>([
    ['a shift', { shift: 0.5 }],
    ['a higher pressure', { bounds: { 'screen pressure min': 9150 } }],
    ['a longer joint', { lengths: { S2: 12.4 } }],
  ])('it says what the comparison of the records says: %s', (_what, change) => {
    const scenario = { ...emptyScenario('test'), ...change };
    const counted = countSide(courseUnder(demo.course, scenario), demo.source);
    const { gained, lost } = compareRecords(original.record, counted.record);
    const { pairs } = jointsBeside(jointsOf(original), jointsOf(counted));
    const sum = (of: 'gainedM' | 'lostM') => pairs.reduce((total, pair) => total + pair[of], 0);
    // The records give each bound of a gap to a thousandth.
    const bounds = counted.record.joints.reduce((total, { gaps }) => total + 2 * gaps.length + 2, 0);
    expect(Math.abs(sum('gainedM') - gained)).toBeLessThan(bounds * 0.003);
    expect(Math.abs(sum('lostM') - lost)).toBeLessThan(bounds * 0.003);
    expect(gained + lost).toBeGreaterThan(0.1);
  });
});
