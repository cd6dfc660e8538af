/** Rules M1 to M5 held against an oracle that asks, point by point and segment by segment, what the rules say. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { GapCause } from '../../../src/causes.ts';
import { contains, type IntervalSet, measure, subtract } from '../../../src/intervals.ts';
import type { Segment } from '../../../src/pipeline/countStretch.ts';
import { addSweep, createSweep, type Sweep, settleAll, sweepUnseen } from '../../../src/pipeline/sweep.ts';
import { compileJob, type Job } from '../../../src/plan/job.ts';
import { planSchema } from '../../../src/plan/planSchema.ts';
import { outcomeOf } from '../../../src/record/verdict.ts';

interface JobInput {
  screenTools: string[];
  pressureBound: boolean;
  rpmBound: boolean;
  feedBound: boolean;
}
const WHOLE: JobInput = { screenTools: ['lower'], pressureBound: true, rpmBound: true, feedBound: true };

/** Two screens that touch, wholly to be expanded, between isolation joints whose ends are left out. */
function jobOf(input: JobInput): Job {
  const recipe = (tools: string[], min: number, max: number) => ({
    tools,
    ...(input.pressureBound ? { pressure: { min } } : {}),
    ...(input.rpmBound ? { rpm: { min: 15 } } : {}),
    ...(input.feedBound ? { feed: { max } } : {}),
  });
  return compileJob(
    planSchema.parse({
      format: 'jointwise-plan/1',
      units: 'metric',
      liner: {
        top: 1000,
        joints: [
          { name: 'Z1', kind: 'isolation', length: 2, expandFrom: 0.3, expandTo: 1.7 },
          { name: 'B1', kind: 'blank', length: 0.8 },
          { name: 'S1', kind: 'screen', length: 1.5 },
          { name: 'S2', kind: 'screen', length: 1.25 },
          { name: 'Z2', kind: 'isolation', length: 1.4, expandFrom: 0.1 },
        ],
      },
      tools: [
        { name: 'upper', offset: 2.3 },
        { name: 'lower', offset: 0.4 },
      ],
      recipes: {
        isolation: recipe(['upper'], 16000, 1.50713),
        screen: recipe(input.screenTools, 7500, 2.00917),
      },
    }),
  );
}

/** One step of the string: where to, with what readings there, and whether anything was read on the way. */
interface Step {
  moveMm: number;
  seconds: number;
  pressure: number;
  rotation: number;
  gap: boolean;
}
const stepOf: fc.Arbitrary<Step> = fc.record({
  moveMm: fc.oneof({ weight: 4, arbitrary: fc.integer({ min: 0, max: 700 }) }, fc.integer({ min: -1500, max: 900 })),
  seconds: fc.integer({ min: 5, max: 40 }),
  pressure: fc.oneof(fc.integer({ min: 7000, max: 9000 }), fc.integer({ min: 0, max: 23000 })),
  rotation: fc.oneof({ weight: 3, arbitrary: fc.integer({ min: 15, max: 40 }) }, fc.integer({ min: 0, max: 40 })),
  gap: fc.integer({ min: 0, max: 9 }).map((n) => n === 0),
});
const walkOf = fc.record({
  startMm: fc.integer({ min: 999_500, max: 1_007_000 }),
  steps: fc.array(stepOf, { minLength: 1, maxLength: 40 }),
});
type Walk = { startMm: number; steps: Step[] };

type Piece = { segment: Segment; gap: boolean };
function piecesOf(walk: Walk): Piece[] {
  let mm = walk.startMm;
  let ms = 0;
  let pressure = 9000;
  let rotation = 30;
  return walk.steps.map((step) => {
    const segment: Segment = {
      fromMs: ms,
      toMs: ms + step.seconds * 1000,
      fromDepth: mm / 1000,
      toDepth: (mm + step.moveMm) / 1000,
      fromPressure: pressure,
      toPressure: step.pressure,
      fromToolPressure: Number.NaN,
      toToolPressure: Number.NaN,
      fromRotation: rotation,
      toRotation: step.rotation,
      rolling: step.moveMm > 0,
      tooFast: 0,
      tooMuchPerTurn: 0,
    };
    mm += step.moveMm;
    ms = segment.toMs;
    pressure = step.pressure;
    rotation = step.rotation;
    return { segment, gap: step.gap };
  });
}

/** Exact readings: nothing for which a feed would have to be given the benefit of the doubt. */
const EXACT_M = 0;

function feedIn(sweep: Sweep, job: Job, { segment, gap }: Piece): void {
  if (gap) sweepUnseen(sweep, job, segment.fromDepth, segment.toDepth);
  else addSweep(sweep, job, { ...segment }, segment.toDepth - segment.fromDepth, EXACT_M, [Number.NaN, Number.NaN]);
}

function sweepOf(job: Job, pieces: readonly Piece[]): Sweep {
  const sweep = createSweep(job);
  for (const piece of pieces) feedIn(sweep, job, piece);
  settleAll(sweep, job);
  return sweep;
}

/** What the rules say of one point of one joint: null for expanded. Written from the promises, not from the code. */
function oracle(job: Job, index: number, depth: number, pieces: readonly Piece[]): GapCause | null {
  const joint = job.joints[index]!;
  const recipe = joint.recipe!;
  let expanded = false;
  let unseen = false;
  let failed: GapCause = 'not reached';
  for (const { segment, gap } of pieces) {
    for (const tool of recipe.tools) {
      const from = segment.fromDepth - job.tools[tool]!.offsetM;
      const to = segment.toDepth - job.tools[tool]!.offsetM;
      if (!(depth >= from && depth < to)) continue;
      if (gap) {
        unseen = true;
        continue;
      }
      const share = (depth - from) / (to - from);
      const pressure = segment.fromPressure + share * (segment.toPressure - segment.fromPressure);
      const rotation = segment.fromRotation + share * (segment.toRotation - segment.fromRotation);
      const feed = (to - from) / ((segment.toMs - segment.fromMs) / 60_000);
      if (pressure < recipe.pressureMinKpa) failed = 'low pressure';
      else if (rotation < recipe.rpmMin) failed = 'no rotation';
      else if (feed > recipe.feedMaxMPerMin) failed = 'fast feed';
      else expanded = true;
    }
  }
  if (expanded) return null;
  return unseen ? 'no data' : failed;
}

/** A point every centimetre, off any whole millimetre. */
function pointsOf(job: Job, index: number): number[] {
  const { from, to } = job.joints[index]!;
  const points: number[] = [];
  for (let x = from + 0.0050123; x < to; x += 0.01) points.push(x);
  return points;
}

function causeAt(job: Job, sweep: Sweep, index: number, depth: number): GapCause | null {
  const outcome = outcomeOf(job, job.joints[index]!, sweep.tallies[index]!, [Number.NaN, Number.NaN]);
  const causes = outcome.gaps.filter((gap) => depth >= gap.from && depth < gap.to).map((gap) => gap.cause);
  expect(causes.length, `${depth} in one gap or in none`).toBe(contains(outcome.expanded, depth) ? 0 : 1);
  return causes[0] ?? null;
}

function expectOracle(job: Job, pieces: readonly Piece[]): void {
  const sweep = sweepOf(job, pieces);
  for (const joint of job.joints) {
    if (!joint.recipe) continue;
    const points = pointsOf(job, joint.index);
    const got = points.map((x) => causeAt(job, sweep, joint.index, x));
    const wanted = points.map((x) => oracle(job, joint.index, x, pieces));
    expect(got, joint.name).toEqual(wanted);
  }
}

describe('random sweeps against the oracle', () => {
  it.each<[string, JobInput]>([
    ['one tool for each kind of joint', WHOLE],
    ['both tools for the screens', { ...WHOLE, screenTools: ['upper', 'lower'] }],
    ['no bound on rotation', { ...WHOLE, rpmBound: false }],
    ['no bound on pressure', { ...WHOLE, pressureBound: false }],
    ['no bound on feed', { ...WHOLE, feedBound: false }],
  ])('M1-M5, %s', (_name, input) => {
    const job = jobOf(input);
    fc.assert(
      fc.property(walkOf, (walk) => expectOracle(job, piecesOf(walk))),
      { numRuns: 60 },
    );
  });

  it('M5: nothing that comes later takes an expanded metre away', () => {
    const job = jobOf(WHOLE);
    fc.assert(
      fc.property(walkOf, (walk) => {
        const sweep = createSweep(job);
        const before: IntervalSet[] = job.joints.map(() => []);
        for (const piece of piecesOf(walk)) {
          feedIn(sweep, job, piece);
          job.joints.forEach((joint, i) => {
            expect(subtract(before[i]!, sweep.tallies[i]!.expanded), joint.name).toEqual([]);
            before[i] = sweep.tallies[i]!.expanded.slice();
          });
        }
      }),
      { numRuns: 60 },
    );
  });

  it('feed within its bound is never held against the work, however coarse the readings are said to be', () => {
    const job = jobOf(WHOLE);
    fc.assert(
      fc.property(walkOf, fc.double({ min: 0, max: 0.5, noNaN: true }), (walk, tolerance) => {
        // Everything at most 1 m/min: a rise of the sum is impossible.
        const pieces = piecesOf(walk).map(({ segment }) => ({
          gap: false,
          segment: { ...segment, toMs: segment.fromMs + Math.abs(segment.toDepth - segment.fromDepth) * 60_000 + 1000 },
        }));
        const sweep = createSweep(job);
        for (const { segment } of pieces) {
          addSweep(sweep, job, { ...segment }, segment.toDepth - segment.fromDepth, tolerance, [
            Number.NaN,
            Number.NaN,
          ]);
        }
        settleAll(sweep, job);
        for (const tally of sweep.tallies) expect(tally.failed['fast feed']).toEqual([]);
        const strict = sweepOf(job, pieces);
        expect(sweep.tallies.map((tally) => tally.expanded)).toEqual(strict.tallies.map((tally) => tally.expanded));
      }),
      { numRuns: 60 },
    );
  });
});

/** One screen [1000, 1010), one tool 1 m above the end, all three bounds. */
const ONE_SCREEN = compileJob(
  planSchema.parse({
    format: 'jointwise-plan/1',
    units: 'metric',
    liner: { top: 1000, joints: [{ name: 'S1', kind: 'screen', length: 10 }] },
    tools: [{ name: 'lower', offset: 1 }],
    recipes: { screen: { tools: ['lower'], pressure: { min: 7500 }, rpm: { min: 15 }, feed: { max: 2 } } },
  }),
);
const piece = (over: Partial<Segment>): Piece => ({
  gap: false,
  segment: {
    fromMs: 0,
    toMs: 60_000,
    fromDepth: 1001,
    toDepth: 1002,
    fromPressure: 9000,
    toPressure: 9000,
    fromToolPressure: Number.NaN,
    toToolPressure: Number.NaN,
    fromRotation: 30,
    toRotation: 30,
    rolling: true,
    tooFast: 0,
    tooMuchPerTurn: 0,
    ...over,
  },
});
const tallyAfter = (...pieces: Piece[]) => sweepOf(ONE_SCREEN, pieces).tallies[0]!;

function expectSpans(set: readonly number[], spans: readonly number[]): void {
  expect(set.length, String(set)).toBe(spans.length);
  for (let i = 0; i < spans.length; i += 1) expect(set[i]).toBeCloseTo(spans[i]!, 9);
}

describe('worked by hand, to the millimetre', () => {
  it('M2: pressure from 5000 to 10000 kPa over the metre crosses 7500 halfway', () => {
    const tally = tallyAfter(piece({ fromPressure: 5000, toPressure: 10000 }));
    expectSpans(tally.expanded, [1000.5, 1001]);
    expectSpans(tally.failed['low pressure'], [1000, 1000.5]);
  });

  it('M2: pressure from 9000 to 5000 kPa crosses 7500 after 0.375 m', () => {
    const tally = tallyAfter(piece({ fromPressure: 9000, toPressure: 5000 }));
    expectSpans(tally.expanded, [1000, 1000.375]);
    expectSpans(tally.failed['low pressure'], [1000.375, 1001]);
  });

  it('M2: pressure rising past halfway and rotation falling past three quarters leave the stretch between', () => {
    const tally = tallyAfter(piece({ fromPressure: 5000, toPressure: 10000, fromRotation: 30, toRotation: 10 }));
    expectSpans(tally.expanded, [1000.5, 1000.75]);
    expectSpans(tally.failed['low pressure'], [1000, 1000.5]);
    expectSpans(tally.failed['no rotation'], [1000.75, 1001]);
  });

  it('M2: a reading at its bound holds', () => {
    expectSpans(
      tallyAfter(piece({ fromPressure: 7500, toPressure: 7500, fromRotation: 15, toRotation: 15 })).expanded,
      [1000, 1001],
    );
  });

  it('M3: two metres in a minute are at the bound, two and a half are too fast', () => {
    expectSpans(tallyAfter(piece({ toDepth: 1003 })).expanded, [1000, 1002]);
    const fast = tallyAfter(piece({ toDepth: 1003.5 }));
    expectSpans(fast.expanded, []);
    expectSpans(fast.failed['fast feed'], [1000, 1002.5]);
  });

  it('M1: nothing is expanded on the way up, nor outside the part to be expanded', () => {
    expectSpans(tallyAfter(piece({ fromDepth: 1003, toDepth: 1002 })).expanded, []);
    expectSpans(tallyAfter(piece({ fromDepth: 1000, toDepth: 1001.5 })).expanded, [1000, 1000.5]);
    expectSpans(tallyAfter(piece({ fromDepth: 1010, toDepth: 1012 })).expanded, [1009, 1010]);
  });

  it('M4: a gap leaves its stretch unproven, also where it was swept badly before, and not what is expanded', () => {
    const good = piece({});
    const gap: Piece = { ...piece({ fromDepth: 1001.5, toDepth: 1003 }), gap: true };
    const sweep = sweepOf(ONE_SCREEN, [good, gap]);
    const outcome = outcomeOf(ONE_SCREEN, ONE_SCREEN.joints[0]!, sweep.tallies[0]!, [1010]);
    expectSpans(outcome.expanded, [1000, 1001]);
    expectSpans(outcome.unproven, [1001, 1002]);
  });

  it('M5: a good second pass repairs, a bad third one takes nothing, overlap counts once', () => {
    const bad = piece({ fromPressure: 5000, toPressure: 5000 });
    const tally = tallyAfter(bad, piece({ fromDepth: 1001.2, toDepth: 1002.4 }), bad);
    expectSpans(tally.expanded, [1000.2, 1001.4]);
    expect(measure(tally.expanded)).toBeCloseTo(1.2, 9);
  });

  it('counts a pass again only after a lift of more than a metre', () => {
    const down = piece({ toDepth: 1004, toMs: 180_000 });
    const short = piece({ fromDepth: 1003.2, toDepth: 1004 });
    const again = piece({ fromDepth: 1002.9, toDepth: 1004 });
    expect(tallyAfter(down, short).passes).toBe(1);
    expect(tallyAfter(down, again).passes).toBe(2);
  });

  it('weighs pressure by depth: a metre at 8000 and three at 10000 kPa mean 9500', () => {
    const slow = piece({ fromPressure: 8000, toPressure: 8000 });
    const rest = piece({ fromDepth: 1002, toDepth: 1005, toMs: 180_000, fromPressure: 10000, toPressure: 10000 });
    const tally = tallyAfter(slow, rest);
    expect(tally.pressureSum / tally.sweptM).toBeCloseTo(9500, 6);
    expect([tally.pressureMin, tally.pressureMax]).toEqual([8000, 10000]);
    expect(tally.feedM / tally.feedMinutes).toBeCloseTo(1, 9);
  });
});
