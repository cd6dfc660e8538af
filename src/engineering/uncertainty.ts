/**
 * Uncertainty of a depth and of a length, 1σ in metres, put together as the GUM (JCGM 100:2008) does: root sum square of
 * independent parts. What two depths of one run share, to the metre of its effect on each, goes out of their difference.
 */

/** k of the expanded uncertainty U = k·u: about 95 % (GUM 6.3.3, 7.2). */
export const COVERAGE_FACTOR = 2;

/** 1σ of a reading that comes in steps: an even spread over one step (GUM 4.3.7). Unit of the step; step ≥ 0. */
export function quantisationSigma(step: number): number {
  return step / Math.sqrt(12);
}

/** 1σ of the sum of independent parts, each in the same unit (GUM 5.1.2 with the sensitivities multiplied in). */
export function rootSumSquare(...parts: readonly number[]): number {
  return Math.hypot(...parts);
}

/** The 1σ parts of one depth, m. */
export interface DepthBudget {
  /**
   * By cause, for what stays the same through a run: a wrong reference, a scale error, the stretch model. Signed: the
   * effect of one standard deviation of that cause on this depth, so that the same cause moves two depths together.
   */
  readonly shared: Readonly<Record<string, number>>;
  /** What is drawn anew at each reading: quantisation, noise, residual heave. */
  readonly own: readonly number[];
}

/** 1σ of the depth itself, m. */
export function depthSigma(budget: DepthBudget): number {
  return rootSumSquare(...Object.values(budget.shared), ...budget.own);
}

/** 1σ of the length between two depths of one run, m: shared causes count only by how differently they move the two. */
export function lengthSigma(a: DepthBudget, b: DepthBudget): number {
  const causes = new Set([...Object.keys(a.shared), ...Object.keys(b.shared)]);
  const shared = [...causes].map((cause) => (a.shared[cause] ?? 0) - (b.shared[cause] ?? 0));
  return rootSumSquare(...shared, ...a.own, ...b.own);
}

export type Platform = 'fixed' | 'floating';

/** 1σ terms of the driller's depth of one run: OWSG tool code set A (ISCWSA framework, revision 5). */
export const DEPTH_ERROR_MODEL: Readonly<Record<Platform, DepthErrorModel>> = {
  fixed: { referenceM: 0.35, datumM: 0, scale: 0.00056, stretchPerM: 2.5e-7 },
  floating: { referenceM: 2.2, datumM: 1, scale: 0.00056, stretchPerM: 2.5e-7 },
};

export interface DepthErrorModel {
  /** Where depth zero lies: one error a run. */
  readonly referenceM: number;
  /** Systematic part of it, with the tide and the draught. */
  readonly datumM: number;
  /** Of measured depth, m a metre. */
  readonly scale: number;
  /** Of measured × true vertical depth, 1/m: stretch under own weight. */
  readonly stretchPerM: number;
}

/** The depth that no tag has confirmed: measured depth and true vertical depth in m, and the readings' own noise, m. */
export function untaggedDepth(mdM: number, tvdM: number, platform: Platform, own: readonly number[] = []): DepthBudget {
  const model = DEPTH_ERROR_MODEL[platform];
  return {
    shared: {
      reference: model.referenceM,
      datum: model.datumM,
      scale: model.scale * mdM,
      stretch: model.stretchPerM * mdM * tvdM,
    },
    own,
  };
}
