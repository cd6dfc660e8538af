/** Worked examples in field units, as their sources print them, and how far a figure is from one. */
import type { FlowCurve } from '../../../src/engineering/rheology.ts';

export const relative = (mine: number, printed: number): number => Math.abs(mine / printed - 1);

/** 1 equivalent cP is 1 mPa·sⁿ. */
export const powerLawOfEqCp = (n: number, eqCp: number): FlowCurve => ({
  model: 'power law',
  yieldPa: 0,
  consistencyPaSn: eqCp / 1000,
  n,
});

/** 1 lbf/100 ft², in Pa. */
export const LBF_PER_100FT2_PA = 4.4482216152605 / 0.3048 ** 2 / 100;

export const binghamOfField = (plasticViscosityCp: number, yieldLbfPer100Ft2: number): FlowCurve => ({
  model: 'bingham',
  yieldPa: yieldLbfPer100Ft2 * LBF_PER_100FT2_PA,
  consistencyPaSn: plasticViscosityCp / 1000,
  n: 1,
});

export const newtonian = (cp: number): FlowCurve => binghamOfField(cp, 0);
