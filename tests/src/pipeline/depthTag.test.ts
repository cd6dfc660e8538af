/**
 * The set-down on the shear device, row by row: a sample a second, straight lines between the rows. The device stands at 990 m and
 * is tagged with the upper tool, 5 m above the end of the string; 40 kN are wanted within 3 m of it. No string: nothing gives.
 */
import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../../ingest/simulator/random.ts';
import type { JournalEntry } from '../../../src/journal/journalSchema.ts';
import { advance, createRun, type Run } from '../../../src/pipeline/run.ts';
import { nowOf } from '../../../src/pipeline/view.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { type Plan, planSchema } from '../../../src/plan/planSchema.ts';
import { recordOf } from '../../../src/record/record.ts';
import { readTable } from '../table.ts';
import { instantOf, saidAt, samplesOf, scenarioPlan } from './scenario.ts';

const tagPlan = (parts: object = {}): Plan =>
  planSchema.parse({
    ...scenarioPlan(),
    depthTag: { depth: 990, tool: 'upper', setDown: { min: 40 }, window: 3 },
    ...parts,
  });

/** Rows without the columns that do not matter here: pumps slow, no rotation. */
function rowsOf(short: string): string {
  const lines = short
    .trim()
    .split('\n')
    .map((line) => line.trim().split(/\s+/));
  return [
    't_s flow spp_kPa rpm block_m depth_m hookload_kN | phase event',
    ...lines.map(([t, depth, hook]) => `${t} 300 900 0 ${(1020 - Number(depth)).toFixed(3)} ${depth} ${hook} | - -`),
  ].join('\n');
}

function play(short: string, tag: 'offer' | 'apply', plan = tagPlan(), journal: readonly JournalEntry[] = []): Run {
  const run = createRun(compileJob(plan), { tag });
  const waiting = [...journal];
  for (const sample of samplesOf(readTable(rowsOf(short)))) {
    while (waiting[0] && Date.parse(waiting[0].at) <= sample.sourceMs)
      advance(run, { kind: 'journal', entry: waiting.shift()! });
    advance(run, { kind: 'sample', sample });
  }
  return run;
}
const recordNow = (run: Run) => recordOf(run, { frames: run.samples, rejected: 0, reasons: {} });

/** The tool is shown at 991.20 m when it stands on the device: 1.2 m too deep. */
const TAGGED = `
    0   995.00  790
   60   995.00  790
  120   996.20  780
  140   996.20  720
  142   996.20  785
  200   996.20  790`;

describe('a set-down that releases sharply', () => {
  it('is a tag: a step with both depths, the difference, the set-down and 1σ, and a phase', () => {
    const run = play(TAGGED, 'apply');
    const record = recordNow(run);
    expect(record.steps).toHaveLength(1);
    const { kind, name, outcome, numbers, detail } = record.steps![0]!;
    expect({ kind, name, outcome }).toEqual({ kind: 'depth tag', name: 'upper', outcome: 'passed' });
    expect(detail).toMatch(
      /^shown at 991\.\d\d m, shear device at 990\.00 m, difference -1\.\d\d m under \d\d kN set down/,
    );
    const value = Object.fromEntries(numbers.map((one) => [one.name, one.value]));
    expect(value['depth shown']).toBeCloseTo(991.2, 1);
    expect(value['shear device']).toBe(990);
    expect(value.difference).toBeCloseTo(-1.2, 1);
    expect(value['set-down']).toBeGreaterThan(55);
    expect(value['set-down']).toBeLessThan(72);
    expect(value['1σ']).toBeGreaterThanOrEqual(0.05);
    expect(run.correctionM).toBeCloseTo(-1.2, 2);
    expect(saidAt(record, 135).phase).toBe('tagging depth');
    expect(record.events.map((event) => event.kind)).toEqual(['depth mismatch']);
    expect(record.defaults!.map((one) => one.place)).toContain('depthTag.repeatability');
  });

  it('is offered where it is to be offered, and moves nothing', () => {
    const run = play(TAGGED, 'offer');
    const now = nowOf(run)!;
    expect(run.correctionM).toBe(0);
    expect(run.steps.steps[0]!.outcome).toBe('open');
    expect(now.depthAtTool.corrected).toBe('not corrected');
    expect(now.depthAtTool.offer).toMatchObject({ step: 1, tool: 0, tagged: 990 });
    expect(now.depthAtTool.offer!.shown).toBeCloseTo(991.2, 1);
  });

  it.each([
    ['the depth of the device', 'upper', 990, 'passed', 'by the tag', -1.2],
    ['a depth that moves it as the tag would', 'upper', 990.1, 'passed', 'by the tag', -1.1],
    ['quite another depth', 'upper', 991.9, 'not proven', 'by the journal', 0.7],
    ['a depth of the other tool', 'lower', 995.1, 'open', 'by the journal', -0.1],
  ] as const)('then %s in the journal', (_, tool, depth, outcome, corrected, correction) => {
    const entry: JournalEntry = { at: instantOf(180), by: 'Rep', action: 'set depth', tool, depth };
    const run = play(TAGGED, 'offer', tagPlan(), [entry]);
    expect(run.steps.steps[0]!.outcome).toBe(outcome);
    expect(run.depthAtTool.corrected).toBe(corrected);
    expect(run.correctionM).toBeCloseTo(correction, 2);
    expect(nowOf(run)!.depthAtTool.offer === null).toBe(outcome !== 'open');
  });

  /** Drawn noise of the hookload, σ 12 kN, on a string that stands still: with 24 kN on it, it often reaches the least 40. */
  const noisy = (seed: number, weightKn: (s: number) => number): string => {
    const random = seededRandom(seed);
    return Array.from({ length: 900 }, (_, i) => {
      return `${i} 995.00 ${(790 - weightKn(i) + 12 * random.normal()).toFixed(1)}`;
    }).join('\n');
  };

  it.each([1, 2, 3, 4, 5, 6, 7, 8])(
    'is not made by a hookload whose noise comes near the least set-down, seed %i',
    (seed) => {
      expect(
        play(
          noisy(seed, (s) => (s > 60 && s % 60 < 30 ? 24 : 0)),
          'apply',
        ).steps.steps,
      ).toEqual([]);
    },
  );

  it.each([1, 2, 3, 4, 5])('is found in such noise where it stands out of it, seed %i', (seed) => {
    const run = play(
      noisy(seed, (s) => (s > 60 && s < 100 ? Math.min(140, 5 * (s - 60)) : 0)),
      'apply',
    );
    expect(run.steps.steps).toHaveLength(1);
  });

  it('ends in one record whether it was applied or offered, once it has been confirmed', () => {
    const entry: JournalEntry = { at: instantOf(180), by: 'Rep', action: 'set depth', tool: 'upper', depth: 990 };
    const [applied, offered] = (['apply', 'offer'] as const).map((tag) =>
      recordNow(play(TAGGED, tag, tagPlan(), [entry])),
    );
    expect(applied!.steps).toEqual(offered!.steps);
    expect(applied!.depth).toEqual(offered!.depth);
    expect(applied!.steps![0]!.detail).toContain('confirmed by Rep');
  });

  it('that fits the depth shown is no mismatch', () => {
    const run = play(TAGGED.replaceAll('996.20', '995.10'), 'apply');
    expect(run.steps.steps).toHaveLength(1);
    expect(run.events.events).toEqual([]);
    expect(run.correctionM).toBeCloseTo(-0.1, 2);
  });

  it('leaves the ground swept before it where it was counted', () => {
    const before = play(TAGGED, 'offer').sweep.tallies.map((tally) => [...tally.expanded]);
    expect(play(TAGGED, 'apply').sweep.tallies.map((tally) => [...tally.expanded])).toEqual(before);
  });
});

describe('what is no tag', () => {
  it.each([
    ['too little set down', TAGGED.replace('996.20  720', '996.20  750')],
    ['outside the window', TAGGED.replaceAll('996.20', '999.20')],
    [
      'weight that stays on',
      `
        0   995.00  790
       60   995.00  790
      120   995.20  780
      140   995.20  720
      400   995.20  720`,
    ],
    [
      'weight taken off slowly',
      `
        0   995.00  790
       60   995.00  790
      120   995.20  780
      140   995.20  720
      170   995.20  790
      200   995.20  790`,
    ],
    [
      'weight taken off by lifting',
      `
        0   995.00  790
       60   995.00  790
      120   995.20  780
      140   995.20  720
      143   995.00  790
      160   994.00  790
      200   994.00  790`,
    ],
    [
      'a spike of the hookload',
      `
        0   995.00  790
       60   995.00  790
       61   995.00  690
       62   995.00  790
      200   995.00  790`,
    ],
    [
      'drag on the way down, gone with the movement',
      `
        0   993.00  790
       60   993.00  790
       62   993.10  740
      100   995.00  740
      102   995.00  790
      200   995.00  790`,
    ],
    [
      'slips',
      `
        0   995.00  790
       60   995.00  790
       64   995.00  180
      120   995.00  180
      123   995.00  790
      200   995.00  790`,
    ],
  ])('%s', (_, short) => {
    const run = play(short, 'apply');
    expect(run.steps.steps).toEqual([]);
    expect(run.correctionM).toBe(0);
    expect(run.phases.entries.map((entry) => entry.phase)).not.toContain('tagging depth');
  });

  it('a set-down without a device in the plan', () => {
    expect(play(TAGGED, 'apply', scenarioPlan()).steps.steps).toEqual([]);
  });
});

describe('a string that gives', () => {
  /** 5-in pipe, 30 million psi: 60 kN press 991 m of it together by 8.4 cm (own arithmetic, F·L/(E·A)). */
  const string = [{ name: 'drill pipe', length: 3000, od: 127, id: 108.6, mass: 31 }];

  it('has the tool higher by it under the set-down, and that is in the correction', () => {
    const rigid = play(TAGGED, 'apply').correctionM;
    const elastic = play(TAGGED, 'apply', tagPlan({ string }));
    const set = elastic.steps.steps[0]!.numbers.find((one) => one.name === 'set-down')!.value.value;
    expect(elastic.correctionM - rigid).toBeCloseTo((set * 996.2) / (206_842_719 * 3404.7e-6), 3);
  });
});
