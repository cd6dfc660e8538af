/** A ball on its way to the seat. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type BallStep, ballTravel } from '../../../src/engineering/ballTravel.ts';
import { hangString } from '../../../src/engineering/volumes.ts';
import { fromInside, toInside } from '../../../src/units.ts';

const inch = (value: number) => toInside(value, 'in');
const feet = (value: number) => toInside(value, 'ft');
const bbl = (value: number) => toInside(value, 'bbl');

const STRING = hangString(
  [
    { lengthM: feet(9000), odMm: inch(5), idMm: inch(4.276), massKgM: 31 },
    { lengthM: feet(500), odMm: inch(3.5), idMm: inch(2.764), massKgM: 21 },
  ],
  feet(9500),
);
const STEP: BallStep = {
  hung: STRING,
  seatDepthM: feet(9500),
  flowLMin: bbl(0.101827) * 60_000,
  litresPerStroke: bbl(0.101827) * 1000,
  slowDownM3: bbl(20),
  overdueM3: bbl(10),
};

describe('a pumped ball', () => {
  it('own, from ID²/1029.4: 9,000 ft of 5 in 19.5 and 500 ft of 3-1/2 in 13.3, 0.101827 bbl a stroke, 60 a minute', () => {
    const { seat } = ballTravel(STEP);
    expect(fromInside(seat.volumeM3, 'bbl')).toBeCloseTo(163.55, 1);
    expect(Math.round(seat.strokes)).toBe(1606);
    expect(seat.minutes).toBeCloseTo(26.8, 1);
  });

  it('common practice: 10,000 ft of 0.01776 bbl/ft is 178 bbl, 59 min at 3 bbl/min', () => {
    const hung = hangString([{ lengthM: 1, odMm: inch(5), idMm: inch(4.276), massKgM: 31 }], feet(10_000));
    const { seat } = ballTravel({ ...STEP, hung, seatDepthM: feet(10_000), flowLMin: toInside(3, 'bpm') });
    expect(fromInside(seat.volumeM3, 'bbl')).toBeCloseTo(177.6, 0);
    expect(seat.minutes).toBeCloseTo(59.2, 0);
  });

  it('is slowed before its seat and overdue past it, by the margins (common practice: 10 to 20 bbl)', () => {
    const { slowDown, seat, overdue } = ballTravel(STEP);
    expect(fromInside(seat.volumeM3 - slowDown.volumeM3, 'bbl')).toBeCloseTo(20, 9);
    expect(fromInside(overdue.volumeM3 - seat.volumeM3, 'bbl')).toBeCloseTo(10, 9);
    expect(overdue.strokes - seat.strokes).toBeCloseTo(10 / 0.101827, 6);
  });

  it('takes its time on the slow stretch (worked by hand): 20 bbl at 1 bbl/min and 10 more', () => {
    const { slowDown, seat, overdue } = ballTravel({ ...STEP, slowFlowLMin: toInside(1, 'bpm') });
    expect(slowDown.minutes).toBeCloseTo(ballTravel(STEP).slowDown.minutes, 9);
    expect(seat.minutes - slowDown.minutes).toBeCloseTo(20, 9);
    expect(overdue.minutes - seat.minutes).toBeCloseTo(10, 9);
  });

  it('is slow from the first where the margin is more than the string holds', () => {
    const { slowDown, seat } = ballTravel({ ...STEP, seatDepthM: 100, slowFlowLMin: 200 });
    expect(slowDown).toEqual({ volumeM3: 0, strokes: 0, minutes: 0 });
    expect(seat.minutes).toBeCloseTo((seat.volumeM3 * 1000) / 200, 9);
  });

  it('comes later to a deeper seat, and its moments stay in order', () => {
    const depth = fc.double({ min: 0, max: feet(9500), noNaN: true });
    fc.assert(
      fc.property(depth, depth, (a, b) => {
        const [shallow, deep] = [Math.min(a, b), Math.max(a, b)].map((seatDepthM) =>
          ballTravel({ ...STEP, seatDepthM, slowFlowLMin: 300 }),
        );
        expect(shallow!.seat.volumeM3).toBeLessThanOrEqual(deep!.seat.volumeM3);
        for (const key of ['volumeM3', 'strokes', 'minutes'] as const) {
          expect(deep!.slowDown[key]).toBeLessThanOrEqual(deep!.seat[key]);
          expect(deep!.seat[key]).toBeLessThan(deep!.overdue[key]);
        }
      }),
    );
  });
});
