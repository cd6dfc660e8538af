import { describe, expect, test } from 'vitest';
import {
  flowForKpa,
  type Hydraulics,
  nozzleAreaMm2,
  nozzleDropKpa,
  standpipeKpa,
} from '../../ingest/simulator/hydraulics.ts';

const RIG: Hydraulics = {
  densityKgPerM3: 1180,
  dischargeCoefficient: 0.95,
  lowAreaMm2: 140,
  highAreaMm2: 117,
  shiftsAtLPerMin: 1100,
  stringLoss: { flow: 900, pressure: 1500 },
};

describe('pressure from flow', () => {
  // By hand: 1200 L/min = 0.02 m³/s through 117 mm²: 1180 × 0.0004 / (2 × 0.9025 × 1.3689e-8) = 19.103 MPa.
  //          900 L/min = 0.015 m³/s through 140 mm²: 1180 × 0.000225 / (2 × 0.9025 × 1.96e-8) = 7.505 MPa.
  test.each([
    [1200, 117, 19_103],
    [900, 140, 7_505],
  ])('%d L/min through %d mm² drops %d kPa', (flow, area, expected) => {
    expect(nozzleDropKpa(flow, area, 1180, 0.95)).toBeCloseTo(expected, -1);
  });

  // API RP 13D gives the bit drop as ρ Q² / (12,042 C² A²) with ppg, gpm, in², psi (from memory).
  test('agrees with the field-unit form of the nozzle equation', () => {
    const psi = (10 * 300 ** 2) / (12_042 * 0.95 ** 2 * 0.25 ** 2);
    const kpa = nozzleDropKpa(300 * 3.785411784, 0.25 * 645.16, 10 * 119.826427, 0.95);
    // Its constant is rounded.
    expect(Math.abs(kpa / 6.894757 / psi - 1)).toBeLessThan(0.002);
  });

  test('the string costs its rated loss at its rated flow and 2^1.8 of it at twice the flow', () => {
    const bare = (flow: number) => standpipeKpa(RIG, flow, 0) - nozzleDropKpa(flow, 140, 1180, 0.95);
    expect(bare(900)).toBeCloseTo(1500, 6);
    expect(bare(1800)).toBeCloseTo(1500 * 3.4822, 0);
  });

  test.each([
    [9_250, 0],
    [19_000, 1],
    [500, 0],
  ] as const)('the flow for %d kPa on path %d makes that pressure', (kpa, valve) => {
    expect(standpipeKpa(RIG, flowForKpa(RIG, kpa, valve), valve)).toBeCloseTo(kpa, 3);
  });

  test('an area sized for a drop makes that drop', () => {
    expect(nozzleDropKpa(950, nozzleAreaMm2(950, 8000, 1180, 0.95), 1180, 0.95)).toBeCloseTo(8000, 6);
  });

  test('the high path and a plugged nozzle make more pressure at one flow', () => {
    expect(standpipeKpa(RIG, 1000, 1)).toBeGreaterThan(standpipeKpa(RIG, 1000, 0));
    expect(standpipeKpa(RIG, 1000, 0, 0.9)).toBeGreaterThan(standpipeKpa(RIG, 1000, 0));
  });
});
