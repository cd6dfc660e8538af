/** A sensor that repeats one reading although it has always wavered before. */
import { describe, expect, it } from 'vitest';
import {
  advanceSteadiness,
  createSteadiness,
  restSteadiness,
  type Steadiness,
} from '../../../src/pipeline/stuckSensor.ts';

const LEAST_MS = 60_000;

/** Feeds `values(s)` for every second in [from, to); returns since when the sensor is stuck at the end, s. */
function feed(state: Steadiness, from: number, to: number, values: (s: number) => number): number {
  let since = Number.NaN;
  for (let s = from; s < to; s += 1) since = advanceSteadiness(state, s * 1000, values(s), LEAST_MS);
  return since / 1000;
}
const wavering = (s: number): number => 9000 + ((s * 37) % 23);
const flat = (): number => 9011;

describe('a stuck sensor', () => {
  it('is one that wavered for minutes and then repeats itself for a minute', () => {
    const state = createSteadiness();
    expect(feed(state, 0, 400, wavering)).toBeNaN();
    expect(feed(state, 400, 460, flat)).toBeNaN();
    expect(feed(state, 460, 461, flat)).toBe(400);
    expect(feed(state, 461, 700, flat)).toBe(400);
    expect(feed(state, 700, 701, wavering)).toBeNaN();
  });

  it('is none before it has been watched for five minutes', () => {
    const state = createSteadiness();
    feed(state, 0, 100, wavering);
    expect(feed(state, 100, 900, flat)).toBeNaN();
    // That stand, ended, is part of what is known of the sensor: only ten times as long is strange.
    feed(state, 900, 901, wavering);
    expect(feed(state, 901, 8900, flat)).toBeNaN();
    expect(feed(state, 8900, 8902, flat)).toBe(901);
  });

  it('is none where the reading has always stood still for long: a coarse or a simulated one', () => {
    const state = createSteadiness();
    feed(state, 0, 1200, (s) => 9000 + Math.floor(s / 20));
    expect(feed(state, 1200, 1390, flat)).toBeNaN();
    expect(feed(state, 1390, 1402, flat)).toBe(1200);
  });

  it('is none where the reading never moved at all', () => {
    expect(feed(createSteadiness(), 0, 3000, flat)).toBeNaN();
  });

  it('is not made of a rest, in which a reading may well stand; the stand before it is remembered', () => {
    const state = createSteadiness();
    feed(state, 0, 400, wavering);
    feed(state, 400, 440, flat);
    restSteadiness(state);
    expect(feed(state, 440, 830, flat)).toBeNaN();
    expect(feed(state, 830, 840, flat)).toBe(440);
  });

  it('is not made of readings that are missing', () => {
    const state = createSteadiness();
    feed(state, 0, 400, wavering);
    expect(feed(state, 400, 600, () => Number.NaN)).toBeNaN();
    expect(feed(state, 600, 601, wavering)).toBeNaN();
  });
});
