/** Two pieces of work timed in turns, so that whatever else the machine does hits both alike. */

export interface Timed {
  /** Medians, ms. */
  readonly ours: number;
  readonly beside: number;
  /** Ours over the other's. */
  readonly ratio: number;
}

type Work = () => unknown;

/** @param q from 0 to 1 @param values not empty, in any order */
export function quantile(values: ArrayLike<number>, q: number): number {
  const sorted = Float64Array.from(values).sort();
  return sorted[Math.min(sorted.length - 1, Math.ceil(q * sorted.length) - 1)] ?? sorted[0]!;
}

export const median = (values: ArrayLike<number>): number => quantile(values, 0.5);

async function timed(work: Work): Promise<number> {
  const from = performance.now();
  await work();
  return performance.now() - from;
}

/** @param warmUps rounds that are not counted. Who goes first changes with every round. */
export async function interleave(rounds: number, ours: Work, beside: Work, warmUps = 2): Promise<Timed> {
  const times: { ours: number[]; beside: number[] } = { ours: [], beside: [] };
  for (let round = -warmUps; round < rounds; round++) {
    const order = round % 2 === 0 ? (['ours', 'beside'] as const) : (['beside', 'ours'] as const);
    for (const side of order) {
      const ms = await timed(side === 'ours' ? ours : beside);
      if (round >= 0) times[side].push(ms);
    }
  }
  const result = { ours: median(times.ours), beside: median(times.beside) };
  return { ...result, ratio: result.ours / result.beside };
}
