/**
 * Whether the uncertainty of an expanded length is what it says: over fifty trips on a rig whose string gives, the true length
 * lies within 2σ for at least nine joints in ten, among those with something left open as well; and σ is no wider than useful.
 */
import { describe, expect, it } from 'vitest';
import { analyseTrip } from './analyseTrip.ts';
import { drawnDepth } from './depthCase.ts';
import { buildDepth } from './depthTrip.ts';

const SEEDS = Array.from({ length: 50 }, (_, i) => i + 1);
/** The record is written to a thousandth, and the truth is counted in thousandths. */
const ROUNDING_M = 0.0015;

interface Judged {
  readonly joint: string;
  readonly error: number;
  readonly sigma: number;
  readonly open: boolean;
}

async function judged(seed: number): Promise<Judged[]> {
  const trip = buildDepth(drawnDepth(seed), seed);
  const record = await analyseTrip(trip);
  return trip.truth.joints.flatMap((truth, i) => {
    const { name, expanded, uncertainty } = record.joints[i]!;
    if (truth.required === 0 || truth.expanded === 0) return [];
    const open = truth.expanded < truth.required - 0.05;
    return [{ joint: `seed ${seed} ${name}`, error: expanded - truth.expanded, sigma: uncertainty, open }];
  });
}

const share = (list: readonly Judged[], holds: (one: Judged) => boolean): number =>
  list.filter(holds).length / list.length;
const mean = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0) / values.length;
const isCovered = ({ error, sigma }: Judged): boolean => Math.abs(error) <= 2 * sigma + ROUNDING_M;

describe('2σ of an expanded length', () => {
  it('covers the truth in nine joints of ten, and is no wider than it must be', async () => {
    const all = (await Promise.all(SEEDS.map(judged))).flat();
    const open = all.filter((one) => one.open);
    expect(open.length).toBeGreaterThan(80);
    expect(share(all, isCovered)).toBeGreaterThanOrEqual(0.9);
    expect(share(open, isCovered)).toBeGreaterThanOrEqual(0.9);
    expect(mean(open.map(({ sigma }) => sigma))).toBeLessThan(0.06);
    expect(mean(open.map(({ sigma }) => sigma))).toBeGreaterThan(0.01);
    // The width is earned: a quarter of it would not do.
    expect(share(open, ({ error, sigma }) => Math.abs(error) <= sigma / 2)).toBeLessThan(0.9);
  }, 120_000);
});
