/** What holds string and pressure on the simulated rig. Own figures, worked out by hand beside each. */
import { describe, expect, it } from 'vitest';
import { annulusKpa, complianceTo, createHold, heldLoadKn, shutKpa, volumeTo } from '../../ingest/simulator/hold.ts';
import { compileJob } from '../../src/plan/job.ts';
import { hangerPlan } from '../support/hangerTrips.ts';

const job = compileJob(hangerPlan());
/** 88.9 × 70.2 mm: 2,336.7 mm² of steel, 3,870.5 mm² of bore; × 52.4 mm: 4,050.7 and 2,156.5. */
describe('a string', () => {
  it('gives by its length over E·A', () => {
    // 2,350 m of one and 50 m of the other: 2350/(206.8e6 × 2336.7e-6) + 50/(206.8e6 × 4050.7e-6).
    expect(complianceTo(job, 2410, 2400)).toBeCloseTo(0.004863 + 0.00006, 5);
  });

  it('holds what its bores hold, the last one on below its end', () => {
    expect(volumeTo(job, 2410, 2400)).toBeCloseTo(2350 * 0.0038705 + 50 * 0.0021565, 2);
    expect(volumeTo(job, 2410, 2420)).toBeCloseTo(2350 * 0.0038705 + 70 * 0.0021565, 2);
  });

  it('that is held springs, and slides by no more than it may', () => {
    const hold = createHold(100);
    hold.fixed = { endDepth: 2410, kn: 600 };
    expect(heldLoadKn(hold, 2409.5, 0.005, 0)).toBeCloseTo(700, 6);
    expect(heldLoadKn(hold, 2410.5, 0.005, 0)).toBeCloseTo(500, 6);
    expect(heldLoadKn(hold, 2409.5, 0.005, 40)).toBeCloseTo(740, 6);
    hold.slidesAboveKn = 680;
    hold.slideLeftM = 0.06;
    expect(heldLoadKn(hold, 2409.5, 0.005, 0)).toBeCloseTo(688, 6);
    expect(heldLoadKn(hold, 2409.4, 0.005, 0)).toBeCloseTo(708, 6);
    expect(hold.slideLeftM).toBe(0);
  });
});

describe('a shut string', () => {
  it('rises by what is pumped over its volume and compressibility', () => {
    // 60 L in 10 m³ at 4.5e-7 a kPa: 13,333 kPa.
    expect(shutKpa(createHold(0), 0, 3600, 10, 1)).toBeCloseTo(13_333, 0);
  });

  it('leaks by its share a minute, and is let off', () => {
    const hold = createHold(0);
    hold.leakPerMin = 0.06;
    expect(shutKpa(hold, 10_000, 0, 10, 1)).toBeCloseTo(9990, 6);
    hold.letOff = true;
    expect(shutKpa(hold, 10_000, 0, 10, 60)).toBeLessThan(10);
  });
});

it('an annulus is pumped up to its pressure, settles, and is let off to nothing', () => {
  const hold = createHold(0);
  let kpa = 0;
  const run = (seconds: number) => {
    for (let i = 0; i < seconds; i += 1) kpa = annulusKpa(hold, kpa, 1);
  };
  run(10);
  expect(kpa).toBe(0);
  hold.annulusTargetKpa = 7000;
  run(200);
  expect(kpa).toBe(7000);
  hold.annulusTargetKpa = Number.NaN;
  hold.annulusSettlesKpa = 100;
  run(1200);
  expect(kpa).toBeCloseTo(6900, 0);
  hold.annulusTargetKpa = 0;
  run(120);
  expect(kpa).toBe(0);
});
