/** A plan as a file would hold it, checked as the program does; plans to start from. */
import { readFileSync } from 'node:fs';
import { expect } from 'vitest';
import { checkPlan } from '../../../src/check/checkPlan.ts';
import { type Check, checkSchema, type RoadmapRow } from '../../../src/check/checkSchema.ts';
import { type CaliperReading, readCaliperLog } from '../../../src/engineering/caliperLog.ts';
import { compileJob, planProblems } from '../../../src/plan/job.ts';
import { planSchema } from '../../../src/plan/planSchema.ts';

// biome-ignore lint/suspicious/noExplicitAny: tests break plans in every way.
export type LoosePlan = any;

/** The demo's plan with nothing missing and nothing against it: temperatures, and a set-down limit that buckling does not reach. */
export function demoPlan(): LoosePlan {
  const plan = JSON.parse(readFileSync('replay-data/demo-plan.json', 'utf8'));
  plan.limits.setDown.max = 60;
  return { ...plan, temperature: { tallied: 16, surface: 20, bottom: 74 } };
}
export const demoLog = (): string => readFileSync('replay-data/demo-caliper.csv', 'utf8');

export function caliperOf(text: string): CaliperReading {
  return readCaliperLog(text, { file: 'log.csv', nulls: [-999.25] });
}

/** The check, which must follow its own schema; `caliper` as the text of a log. */
export function checkOf(plan: LoosePlan, caliper?: string, spaceOutM?: number): Check {
  const parsed = planSchema.parse(plan);
  expect(planProblems(parsed)).toEqual([]);
  const check = checkPlan(compileJob(parsed), {
    caliper: caliper === undefined ? undefined : caliperOf(caliper),
    spaceOutM,
  });
  expect(checkSchema.parse(JSON.parse(JSON.stringify(check)))).toEqual(check);
  return check;
}

export const rowOf = (check: Check, joint: string): RoadmapRow => {
  const row = check.roadmap.find((one) => one.joint === joint);
  if (!row) throw new Error(`no row for ${joint}`);
  return row;
};

/** A vertical hole of one diameter with one screen at its bottom, in field units; every part can be written over. Invented. */
export function fieldPlan(endFt: number, parts: LoosePlan = {}): LoosePlan {
  const length = 40;
  return {
    format: 'jointwise-plan/1',
    units: 'field',
    liner: { top: endFt - length / 2, joints: [{ name: 'S1', kind: 'screen', length }] },
    tools: [{ name: 'only', offset: 0 }],
    recipes: { screen: { tools: ['only'], pressure: { at: 'tool', min: 1000, max: 1000 } } },
    fluid: { density: 10, dials: { 600: 38, 300: 24, 6: 4, 3: 3 } },
    string: [{ length: endFt, od: 5, id: 4.276, mass: 20.9 }],
    hole: [{ from: 0, to: endFt + 100, id: 8.5, friction: 0.25 }],
    flowPath: { shiftsAt: 1000, dischargeCoefficient: 0.95, low: { area: 0.3889 }, high: { area: 0.3 } },
    ...parts,
  };
}
