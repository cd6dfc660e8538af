/** The drift of the two pressures apart, point by point. */
import { describe, expect, it } from 'vitest';
import {
  advanceDrift,
  ageDrift,
  createPressureDrift,
  type PressureDrift,
} from '../../../src/pipeline/pressureDrift.ts';

const LIMIT = 0.05;
const NOZZLE = 7000;
const MODEL = 1500;

interface Told {
  readonly kpa: number;
  readonly flow?: number;
  readonly calibrated?: boolean;
}

function play(points: readonly Told[], state: PressureDrift = createPressureDrift(LIMIT), fromS = 0): PressureDrift {
  points.forEach(({ kpa, flow = 900, calibrated = false }, i) => {
    const square = (flow / 900) ** 2;
    advanceDrift(
      state,
      {
        path: 'low',
        fromMs: (fromS + 10 * i) * 1000,
        toMs: (fromS + 10 * i + 10) * 1000,
        flow,
        standpipeKpa: kpa * square,
        nozzleKpa: NOZZLE * square,
        modelKpa: MODEL * square,
        calibrated: calibrated ? { kpa: (NOZZLE + MODEL) * square, offKpa: 0, sigmaKpa: 20 } : null,
      },
      LIMIT,
    );
  });
  return state;
}
const steady = (count: number, kpa: number, more: Partial<Told> = {}): Told[] =>
  Array.from({ length: count }, () => ({ kpa, ...more }));

describe('a drift', () => {
  it.each([
    ['none', [...steady(60, 8500)], 'none'],
    ['an error of the model that does not change', steady(60, 9900), 'none'],
    ['a fall by 4 % of the tool pressure', [...steady(6, 8500), ...steady(30, 8500 - 0.04 * NOZZLE)], 'none'],
    ['a fall by 7 %', [...steady(6, 8500), ...steady(30, 8500 - 0.07 * NOZZLE)], 'washout'],
    ['a rise by 7 %, away from a wrong model', [...steady(6, 9900), ...steady(30, 9900 + 0.07 * NOZZLE)], 'plugging'],
    ['nozzles that are not the plan’s', [...steady(6, 19_000), ...steady(30, 19_000 - 0.5 * NOZZLE)], 'none'],
    ['a string that is not the plan’s', [...steady(6, 4000), ...steady(30, 4000 + 0.5 * NOZZLE)], 'none'],
    ['one odd point', [...steady(6, 8500), { kpa: 6000 }, ...steady(6, 8500)], 'none'],
    ['another unit', [...steady(6, 8500), ...steady(30, 8500 * 14.5)], 'none'],
    ['from the first point on, where it was calibrated', steady(6, 7800, { calibrated: true }), 'washout'],
    ['at another rate near by', [...steady(6, 8500), ...steady(9, 7900, { flow: 960 })], 'washout'],
  ] as [string, Told[], string][])('%s: %j', (_, points, verdict) => {
    expect(play(points).verdict).toBe(verdict);
  });

  it('is dated to where it began, and ends when the pressure comes back', () => {
    const growing = Array.from({ length: 30 }, (_, i) => ({ kpa: 8500 - 25 * i }));
    const state = play([...steady(12, 8500), ...growing]);
    expect(state).toMatchObject({ verdict: 'washout' });
    expect(state.sinceMs).toBeGreaterThanOrEqual(120_000);
    expect(state.sinceMs).toBeLessThanOrEqual(180_000);
    expect(play(steady(9, 8500), state, 430).verdict).toBe('none');
  });

  it('noise that swings as far as the limit is none', () => {
    const swinging = Array.from({ length: 200 }, (_, i) => ({ kpa: 8500 + (i % 2 === 0 ? 380 : -380) }));
    expect(play(swinging).verdict).toBe('none');
  });

  it('outlives pumps that are off for a stand connection, and not for long', () => {
    const state = play([...steady(6, 8500), ...steady(6, 7500)]);
    ageDrift(state, 120_000 + 300_000);
    expect(state.verdict).toBe('washout');
    ageDrift(state, 120_000 + 601_000);
    expect(state.verdict).toBe('none');
  });
});
