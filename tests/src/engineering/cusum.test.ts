/** Cumulative sums against the handbook's worked table and published run lengths. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { advanceCusum, type Cusum, type CusumDesign, createCusum } from '../../../src/engineering/cusum.ts';
import { seededNormal } from './seededNormal.ts';

const run = (design: CusumDesign, samples: readonly number[]): Cusum[] => {
  let state = createCusum(design);
  return samples.map((x) => {
    state = advanceCusum(state, x);
    return state;
  });
};

const NIST_MEANS = [
  324.925, 324.675, 324.725, 324.35, 325.35, 325.225, 324.125, 324.525, 325.225, 324.6, 324.625, 325.15, 328.325,
  327.25, 327.825, 328.5, 326.675, 327.775, 326.875, 328.35,
];
const NIST: CusumDesign = { target: 325, allowance: 0.3175, decision: 4.1959, sides: 'both' };

describe('NIST/SEMATECH e-Handbook 6.3.2.3, 20 group means; k, h and table from memory', () => {
  const states = run(NIST, NIST_MEANS);

  it.each([
    [13, 3.01],
    [14, 4.94],
    [15, 7.45],
    [16, 10.63],
    [17, 11.99],
    [18, 14.44],
    [19, 16.0],
    [20, 19.04],
  ])('upper sum of group %d is %d', (group, sum) => expect(Math.abs(states[group - 1]!.up - sum)).toBeLessThan(0.0051));

  it.each([
    [4, 0.33],
    [7, 0.56],
    [8, 0.72],
    [9, 0.17],
    [10, 0.25],
    [11, 0.31],
  ])('lower sum of group %d is %d', (group, sum) =>
    expect(Math.abs(states[group - 1]!.down - sum)).toBeLessThan(0.0051),
  );

  it('the first alarm is at group 14, upwards, and the shift began at group 13', () => {
    expect(states.findIndex((state) => state.alarm !== 'quiet')).toBe(13);
    expect(states[13]!.alarm).toBe('up');
    expect(14 - states[13]!.upFor).toBe(12);
  });

  it('a sum that watches one side knows nothing of the other', () => {
    expect(run({ ...NIST, sides: 'down' }, NIST_MEANS).every((s) => s.up === 0 && s.alarm === 'quiet')).toBe(true);
    expect(run({ ...NIST, sides: 'up' }, NIST_MEANS).map((s) => s.up)).toEqual(states.map((s) => s.up));
  });
});

/** Mean number of samples to the first alarm, over seeded runs of unit normal samples about `shift`. */
function meanRunLength(decision: number, shift: number, runs: number): { mean: number; error: number } {
  const normal = seededNormal(1954 + Math.round(decision * 100 + shift * 10_000));
  const design: CusumDesign = { target: 0, allowance: 0.5, decision, sides: 'both' };
  let sum = 0;
  let squares = 0;
  for (let i = 0; i < runs; i += 1) {
    let length = 0;
    for (let state = createCusum(design); state.alarm === 'quiet'; length += 1) {
      state = advanceCusum(state, shift + normal());
    }
    sum += length;
    squares += length * length;
  }
  const mean = sum / runs;
  return { mean, error: Math.sqrt((squares / runs - mean * mean) / runs) };
}

describe('run lengths in print for k = 0.5, both sides, from memory; measured on seeded samples', () => {
  it.each([
    [4, 0, 168],
    [4, 0.25, 74.2],
    [4, 0.5, 26.6],
    [4, 0.75, 13.3],
    [4, 1, 8.38],
    [4, 1.5, 4.75],
    [4, 2, 3.34],
    [4, 2.5, 2.62],
    [4, 3, 2.19],
    [4, 4, 1.71],
    [5, 0, 465],
    [5, 0.25, 139],
    [5, 0.5, 38.0],
    [5, 0.75, 17.0],
    [5, 1, 10.4],
    [5, 1.5, 5.75],
    [5, 2, 4.01],
    [5, 2.5, 3.11],
    [5, 3, 2.57],
    [5, 4, 2.01],
  ])('h %d, shift %d: %d samples', (decision, shift, printed) => {
    const { mean, error } = meanRunLength(decision, shift, shift === 0 ? 1500 : 4000);
    expect(Math.abs(mean - printed)).toBeLessThan(4 * error + 0.006 * printed);
  });
});

describe('own', () => {
  it('up and down are each other’s mirror', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: -10, max: 10, noNaN: true }), { maxLength: 60 }), (samples) => {
        const design: CusumDesign = { target: 0, allowance: 0.5, decision: 4, sides: 'both' };
        const there = run(design, samples);
        const mirrored = run(
          design,
          samples.map((x) => -x),
        );
        expect(mirrored.map((s) => s.up)).toEqual(there.map((s) => s.down));
        expect(mirrored.map((s) => s.downFor)).toEqual(there.map((s) => s.upFor));
      }),
    );
  });

  it('a reading that is no number changes nothing', () => {
    const state = run(NIST, NIST_MEANS.slice(0, 13)).at(-1)!;
    expect(advanceCusum(state, Number.NaN)).toBe(state);
  });

  it('a design without a decision is refused loudly', () => {
    expect(() => createCusum({ ...NIST, decision: 0 })).toThrow(/decision/);
  });
});
