import { describe, expect, test } from 'vitest';
import type { Engineering } from '../../ingest/simulator/engineering.ts';
import { buoyedWeightKn, verticalDepth } from '../../ingest/simulator/stringWeight.ts';

const BARE: Engineering = {
  densityKgPerM3: 1180,
  string: [{ lengthM: 1000, massKgPerM: 31 }],
  survey: [],
  flowPath: undefined,
};

describe('string weight', () => {
  // By hand: 31 × 2000 × 9.80665 × (1 − 1180/7850) / 1000 = 516.6 kN.
  test('2000 m of 31 kg/m hang with 516.6 kN in 1180 kg/m³; the topmost part is as long as it must be', () => {
    expect(buoyedWeightKn(BARE, 2000)).toBeCloseTo(516.6, 1);
  });

  test('a lighter part below takes its own length of the heavier one', () => {
    const two = { ...BARE, string: [...BARE.string, { lengthM: 100, massKgPerM: 21 }] };
    expect(buoyedWeightKn(BARE, 2000) - buoyedWeightKn(two, 2000)).toBeCloseTo(10 * 100 * 9.80665 * 0.84968 * 1e-3, 2);
  });

  test('only the vertical share hangs: at 60° half', () => {
    const slant = { ...BARE, survey: [{ mdM: 0, inclinationDeg: 60, azimuthDeg: 0 }] };
    expect(buoyedWeightKn(slant, 2000)).toBeCloseTo(516.6 / 2, 1);
  });

  test.each([
    [500, 500],
    [1000, 1000],
    // Average of 0° and 60° over 200 m: 200 × cos 30° = 173.205.
    [1200, 1173.205],
    // Below the last station its 60° go on.
    [1300, 1223.205],
  ])('measured depth %d m lies %d m deep', (md, tvd) => {
    const survey = [
      { mdM: 0, inclinationDeg: 0, azimuthDeg: 0 },
      { mdM: 1000, inclinationDeg: 0, azimuthDeg: 0 },
      { mdM: 1200, inclinationDeg: 60, azimuthDeg: 0 },
    ];
    expect(verticalDepth(survey, md)).toBeCloseTo(tvd, 3);
  });
});
