/** The depth at the tool on short trips: stretch by set-down, what it holds and what it leaves alone. */
import { describe, expect, it } from 'vitest';
import { emptySample, type Sample } from '../../../src/channels.ts';
import type { JournalEntry } from '../../../src/journal/journalSchema.ts';
import { toolDepthSigma } from '../../../src/pipeline/depthAtTool.ts';
import { advance, createRun, type Run } from '../../../src/pipeline/run.ts';
import { nowOf } from '../../../src/pipeline/view.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { type Plan, planSchema } from '../../../src/plan/planSchema.ts';
import { instantOf, START_MS, scenarioPlan } from './scenario.ts';

const PIPE = [{ name: 'drill pipe', length: 3000, od: 127, id: 108.6, mass: 31 }];
const planWith = (parts: object): Plan => planSchema.parse({ ...scenarioPlan(), ...parts });
/** Own arithmetic: F·L/(E·A) with E 30 million psi = 206.84 GPa and the pipe body's 3,404.7 mm². */
const gives = (metres: number, kn: number): number => (kn * metres) / (206_842_719 * 3404.7e-6);

interface Stand {
  seconds: number;
  hook: number;
  rpm?: number;
  /** m/min, down positive. */
  speed?: number;
  spp?: number;
}

/** Where the string stands, printed to a centimetre, m. */
const END = 990.37;

/** Plays stretches of even readings from `END` on. */
function play(plan: Plan, stands: readonly Stand[], look: (run: Run, s: number) => void = () => {}): Run {
  const run = createRun(compileJob(plan));
  let at = END;
  let s = 0;
  for (const { seconds, hook, rpm = 0, speed = 0, spp = 500 } of stands) {
    for (let i = 0; i < seconds; i += 1) {
      at += speed / 60;
      s += 1;
      const sample: Sample = emptySample(START_MS + s * 1000, START_MS + s * 1000);
      sample.bitDepth = Math.round(at * 100) / 100;
      sample.blockPosition = Math.round((END + 20 - at) * 100) / 100;
      sample.hookload = hook;
      sample.rotation = rpm;
      sample.standpipePressure = spp;
      sample.flowIn = 900;
      advance(run, { kind: 'sample', sample });
      look(run, s);
    }
  }
  return run;
}
const FREE: Stand = { seconds: 120, hook: 790, rpm: 30 };

describe('stretch of the string', () => {
  it('is what the set-down on a turning string takes from it, within its play', () => {
    const run = play(planWith({ string: PIPE }), [FREE, { seconds: 50, hook: 750, rpm: 30 }]);
    expect(Math.abs(run.depthAtTool.stretchM + gives(END, 40))).toBeLessThan(0.007);
    expect(run.toolDepths[1]).toBeCloseTo(END - 1 + run.depthAtTool.stretchM, 9);
    expect(nowOf(run)!.depthAtTool.stretch).toBe(run.depthAtTool.stretchM);
  });

  it('follows slowly, and is gone when the weight is', () => {
    const steps: number[] = [];
    let before = 0;
    const run = play(
      planWith({ string: PIPE }),
      [FREE, { seconds: 60, hook: 690, rpm: 30 }, { seconds: 120, hook: 790, rpm: 30 }],
      (now) => {
        steps.push(Math.abs(now.depthAtTool.stretchM - before));
        before = now.depthAtTool.stretchM;
      },
    );
    expect(Math.max(...steps)).toBeLessThanOrEqual(0.0100001);
    expect(Math.abs(run.depthAtTool.stretchM)).toBeLessThan(0.007);
  });

  it('is 0 without a string in the plan', () => {
    const run = play(scenarioPlan(), [FREE, { seconds: 90, hook: 700, rpm: 30 }]);
    expect(run.depthAtTool.stretchM).toBe(0);
    expect(run.toolDepths).toEqual([END - 5, END - 1]);
  });

  it('stays as it was without rotation, and in slips', () => {
    const still = play(planWith({ string: PIPE }), [FREE, { seconds: 60, hook: 740, rpm: 0 }]);
    expect(still.depthAtTool.stretchM).toBe(0);
    let held = Number.NaN;
    const hung = play(
      planWith({ string: PIPE }),
      [FREE, { seconds: 60, hook: 750, rpm: 30 }, { seconds: 120, hook: 180 }],
      (run) => {
        if (!run.slips.in) held = run.depthAtTool.stretchM;
      },
    );
    expect(hung.slips.in).toBe(true);
    expect(hung.depthAtTool.stretchM).toBe(held);
    expect(held).toBeLessThan(-0.04);
  });

  it('is not moved by one odd hookload', () => {
    const spike = { seconds: 1, hook: 290, rpm: 30 };
    const run = play(planWith({ string: PIPE }), [
      FREE,
      spike,
      { ...FREE, seconds: 5 },
      spike,
      { ...FREE, seconds: 5 },
    ]);
    expect(run.depthAtTool.stretchM).toBe(0);
  });

  it('is not moved by the temperature of the plan: the liner was run on the same warm string', () => {
    const run = play(planWith({ string: PIPE, temperature: { tallied: 15, surface: 25, bottom: 85 } }), [FREE]);
    expect(run.depthAtTool.stretchM).toBe(0);
    expect(run.toolDepths[1]).toBeCloseTo(END - 1, 9);
  });

  it('has in it by how much a later plan is warmer than the one before', () => {
    const plan = (temperature?: object): Plan => planWith({ string: PIPE, ...(temperature && { temperature }) });
    const entry = (seconds: number, of: Plan): JournalEntry => {
      return { at: instantOf(seconds), by: 'Rep', action: 'change plan', plan: of };
    };
    const changes: Record<number, Plan> = {
      30: plan({ tallied: 15, surface: 25, bottom: 85 }),
      60: plan({ tallied: 15, surface: 45, bottom: 105 }),
      90: plan(),
    };
    const seen: number[] = [];
    play(plan(), [FREE], (run, s) => {
      if (changes[s]) advance(run, { kind: 'journal', entry: entry(s, changes[s]) });
      if (s % 30 === 29) seen.push(run.depthAtTool.stretchM);
    });
    // 6.9e-6 /°F is 12.42e-6 /°C; the third plan is 20 °C warmer from surface to bottom, the fourth says nothing of it.
    [0, 0, 12.42e-6 * END * 20, 0].forEach((wanted, i) => {
      expect(seen[i]).toBeCloseTo(wanted, 4);
    });
  });

  it('leaves feed and movement alone', () => {
    const run = play(planWith({ string: PIPE }), [FREE, { seconds: 30, hook: 640, rpm: 30 }]);
    expect(run.depthAtTool.stretchM).toBeLessThan(-0.1);
    expect(run.motion.way).toBe('still');
    expect(run.motion.feed).toBe(0);
  });
});

describe('set depth', () => {
  const entry = (seconds: number, depth: number): JournalEntry => ({
    at: instantOf(seconds),
    by: 'Rep',
    action: 'set depth',
    tool: 'upper',
    depth,
  });

  it('puts the tool where it says, whatever the stretch then', () => {
    const run = play(planWith({ string: PIPE }), [FREE, { seconds: 60, hook: 700, rpm: 30 }]);
    advance(run, { kind: 'journal', entry: entry(180, 987.4) });
    const { stretchM } = run.depthAtTool;
    expect(stretchM).toBeLessThan(-0.05);
    expect(END - 5 + run.correctionM + stretchM).toBeCloseTo(987.4, 9);
    expect(nowOf(run)!.depthAtTool.corrected).toBe('by the journal');
  });

  it('before the first depth is applied with it', () => {
    const run = createRun(compileJob(planWith({ string: PIPE })));
    advance(run, { kind: 'journal', entry: entry(0, 987) });
    const sample = emptySample(START_MS + 1000, START_MS + 1000);
    sample.bitDepth = 990;
    advance(run, { kind: 'sample', sample });
    expect(run.toolDepths[0]).toBeCloseTo(987, 9);
    expect(run.depthAtTool.corrected).toBe('by the journal');
  });
});

describe('1σ of the depth at the tool', () => {
  it('has the terms of an untagged depth, and loses them with a correction', () => {
    const run = play(scenarioPlan(), [FREE]);
    // OWSG tool code set A, fixed rig: a reference of 0.35 m for each of two trips; scale and stretch are the liner's too.
    expect(toolDepthSigma(run)).toBeCloseTo(Math.hypot(0.35, 0.35), 2);
    advance(run, {
      kind: 'journal',
      entry: { at: instantOf(121), by: 'Rep', action: 'set depth', tool: 'upper', depth: 985 },
    });
    // As sure as a tag: 0.05 m where the plan does not say how well one can be done again.
    expect(toolDepthSigma(run)).toBeCloseTo(0.05, 2);
  });

  it('grows again with the pressure inside, which is not put right', () => {
    const run = play(planWith({ string: PIPE }), [FREE]);
    advance(run, {
      kind: 'journal',
      entry: { at: instantOf(121), by: 'Rep', action: 'set depth', tool: 'upper', depth: 985 },
    });
    const before = toolDepthSigma(run);
    run.sample!.standpipePressure = 18_500;
    // (1 − 2ν)·p·Ai·L/(E·As) as the half width of an even spread: 0.4 × 18 MPa × 9,263 mm² on 990 m.
    const half = gives(END, 0.4 * 18_000 * 9263e-6);
    expect(toolDepthSigma(run)).toBeCloseTo(Math.hypot(before, half / Math.sqrt(3)), 3);
  });

  it('is not known before a depth is', () => {
    const run = createRun(compileJob(scenarioPlan()));
    expect(toolDepthSigma(run)).toBeNaN();
  });
});
