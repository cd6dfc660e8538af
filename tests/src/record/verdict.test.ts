/** The verdict of a joint, row by row of the promised table, and its gaps with their causes. */
import { describe, expect, it } from 'vitest';
import { VERDICTS, type Verdict } from '../../../src/causes.ts';
import { addInterval } from '../../../src/intervals.ts';
import {
  createJointTally,
  type JointTally,
  tallyExpanded,
  tallyFailed,
  tallyUnseen,
} from '../../../src/pipeline/jointTally.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { planSchema } from '../../../src/plan/planSchema.ts';
import { outcomeOf } from '../../../src/record/verdict.ts';

/** S1 is to be expanded from 1000 to 1010, accepted at 97 % with no gap over 0.30 m. */
const JOB = compileJob(
  planSchema.parse({
    format: 'jointwise-plan/1',
    units: 'metric',
    liner: {
      top: 1000,
      joints: [
        { name: 'S1', kind: 'screen', length: 10 },
        { name: 'B1', kind: 'blank', length: 5 },
      ],
    },
    tools: [{ name: 'lower', offset: 1 }],
    recipes: { screen: { tools: ['lower'], pressure: { min: 7500 } } },
    acceptance: { coverage: 0.97, longestGap: 0.3 },
  }),
);

type Spans = [from: number, to: number][];
interface Swept {
  expanded?: Spans;
  unseen?: Spans;
  low?: Spans;
  slow?: Spans;
  tool?: number;
}

function tallyOf({ expanded = [], unseen = [], low = [] }: Swept): JointTally {
  const tally = createJointTally(1);
  tally.swept = expanded.length + unseen.length + low.length > 0;
  for (const [from, to] of expanded) tallyExpanded(tally, from, to);
  for (const [from, to] of unseen) tallyUnseen(tally, from, to);
  for (const [from, to] of low) tallyFailed(tally, 'low pressure', from, to);
  return tally;
}
const outcome = (swept: Swept, joint = 0) => outcomeOf(JOB, JOB.joints[joint]!, tallyOf(swept), [swept.tool ?? 1020]);

describe('verdicts', () => {
  it.each<[Verdict, string, Swept]>([
    ['expanded', 'all of it', { expanded: [[1000, 1010]] }],
    ['expanded', 'exactly what is asked', { expanded: [[1000, 1009.7]], low: [[1009.7, 1010]] }],
    ['short', 'a little less coverage', { expanded: [[1000, 1009.69]], low: [[1009.69, 1010]] }],
    ['short', 'coverage met by far less', { expanded: [[1000, 1005]] }],
    ['short', 'half of it, with the tool lifted out above', { expanded: [[1000, 1005]], tool: 995 }],
    [
      'expanded',
      'two gaps within both bounds',
      {
        expanded: [
          [1000, 1004],
          [1004.1, 1008],
          [1008.15, 1010],
        ],
      },
    ],
    [
      'short',
      'two gaps, short together',
      {
        expanded: [
          [1000, 1004],
          [1004.2, 1008],
          [1008.2, 1010],
        ],
      },
    ],
    ['unproven', 'the rest was swept unseen', { expanded: [[1000, 1006]], unseen: [[1006, 1010]] }],
    ['unproven', 'all of it unseen', { unseen: [[1000, 1010]] }],
    ['short', 'the unseen part would not be enough', { expanded: [[1000, 1006]], unseen: [[1006, 1008]] }],
    ['expanded', 'unseen and later swept well', { expanded: [[1000, 1010]], unseen: [[1000, 1010]] }],
    ['in progress', 'the tool is inside and nothing is against it', { expanded: [[1000, 1004]], tool: 1004 }],
    [
      'in progress',
      'with a gap behind that the plan allows',
      {
        expanded: [
          [1000, 1002],
          [1002.2, 1004],
        ],
        tool: 1004,
      },
    ],
    [
      'short',
      'with a gap behind that the plan does not allow',
      {
        expanded: [
          [1000, 1002],
          [1003, 1004],
        ],
        tool: 1004,
      },
    ],
    ['short', 'the tool has left it below', { expanded: [[1000, 1004]], tool: 1010 }],
    ['not reached', 'nothing swept', {}],
    ['not reached', 'nothing swept, the tool inside', { tool: 1004 }],
    ['short', 'swept, and badly all through', { low: [[1000, 1010]] }],
  ])('%s: %s', (verdict, _why, swept) => {
    expect(outcome(swept).verdict).toBe(verdict);
  });

  it('not planned: a joint that is not to be expanded', () => {
    expect(outcome({}, 1).verdict).toBe('not planned');
  });

  it('are the promised six', () => {
    expect([...VERDICTS].sort()).toEqual([
      'expanded',
      'in progress',
      'not planned',
      'not reached',
      'short',
      'unproven',
    ]);
  });

  it('no acceptance in the plan accepts whatever has been swept', () => {
    const lax = { ...JOB, acceptance: { coverage: 0, longestGapM: Infinity } };
    expect(outcomeOf(lax, lax.joints[0]!, tallyOf({ expanded: [[1000, 1001]] }), [1020]).verdict).toBe('expanded');
  });
});

describe('gaps', () => {
  it('cover what is not expanded, without overlap, the best known cause first', () => {
    const swept = outcome({
      expanded: [
        [1001, 1002],
        [1007, 1008],
      ],
      unseen: [[1001.5, 1003]],
      low: [[1002.5, 1005]],
    });
    expect(swept.gaps).toEqual([
      { from: 1000, to: 1001, cause: 'not reached' },
      { from: 1002, to: 1003, cause: 'no data' },
      { from: 1003, to: 1005, cause: 'low pressure' },
      { from: 1005, to: 1007, cause: 'not reached' },
      { from: 1008, to: 1010, cause: 'not reached' },
    ]);
    expect(swept).toMatchObject({ expandedM: 2, unprovenM: 1, coverage: 0.2, longestGap: 5 });
  });

  it('take nothing from beyond the part to be expanded', () => {
    const tally = tallyOf({ expanded: [[1000, 1010]] });
    addInterval(tally.expanded, 995, 1000);
    addInterval(tally.unseen, 1010, 1020);
    const over = outcomeOf(JOB, JOB.joints[0]!, tally, [1020]);
    expect(over).toMatchObject({ expandedM: 10, unprovenM: 0, coverage: 1, gaps: [] });
  });
});
