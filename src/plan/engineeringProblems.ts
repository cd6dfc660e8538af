/** What the schema cannot say of the engineering part: sections that follow each other, pipe that has a bore. */
import { surveyProblems } from '../engineering/survey.ts';
import type { PlanProblem } from './job.ts';
import type { Plan } from './planSchema.ts';

type Add = (path: string, text: string) => void;

export function engineeringProblems(plan: Plan): PlanProblem[] {
  const problems: PlanProblem[] = [];
  const add: Add = (path, text) => problems.push({ path, text });
  pressureAtTool(plan, add);
  sections(plan, add);
  problems.push(...surveyProblems(plan.survey ?? []));
  sameName(plan.surface?.pumps ?? [], 'surface.pumps', 'pump', add);
  sameName(plan.balls ?? [], 'balls', 'ball', add);
  sameName(plan.hanger?.steps ?? [], 'hanger.steps', 'step', add);
  const { depthTag, flowPath } = plan;
  if (depthTag && !plan.tools.some((tool) => tool.name === depthTag.tool)) {
    const names = plan.tools.map((tool) => tool.name).join(', ');
    add('depthTag.tool', `found "${depthTag.tool}", expected one of ${names}`);
  }
  if (flowPath && flowPath.high.area > flowPath.low.area) {
    add('flowPath.high.area', `found ${flowPath.high.area}, expected at most the low path's ${flowPath.low.area}`);
  }
  plan.tools.forEach((tool, i) => {
    if (tool.range && tool.range.min >= tool.range.max) {
      add(`tools[${i}].range`, `found min ${tool.range.min} and max ${tool.range.max}, expected min under max`);
    }
  });
  return problems;
}

/** The pressure at the tool is worked out from the string and the fluid in it. */
function pressureAtTool(plan: Plan, add: Add): void {
  for (const kind of ['isolation', 'screen'] as const) {
    if (plan.recipes[kind]?.pressure?.at !== 'tool') continue;
    const missing = [
      ...(plan.string ? [] : ['string']),
      ...(plan.fluid ? (plan.fluid.dials ? [] : ['fluid.dials']) : ['fluid']),
    ];
    if (missing.length > 0) {
      const said = `found "tool" without ${missing.join(' and ')}, expected "standpipe", or those parts in the plan`;
      add(`recipes.${kind}.pressure.at`, said);
    }
  }
}

function sections(plan: Plan, add: Add): void {
  plan.string?.forEach((part, i) => {
    if (part.id >= part.od) add(`string[${i}].id`, `found ${part.id}, expected less than its od ${part.od}`);
  });
  let end = 0;
  plan.hole?.forEach((part, i) => {
    if (part.from >= part.to) add(`hole[${i}].from`, `found ${part.from}, expected less than its to ${part.to}`);
    if (Math.abs(part.from - end) > 1e-6) {
      add(`hole[${i}].from`, `found ${part.from}, expected ${end}: sections follow each other from 0 down`);
    }
    end = part.to;
  });
}

/** A ball is dropped, and a step told and kept over a change of plan, by its name. */
function sameName(named: readonly { readonly name: string }[], at: string, what: string, add: Add): void {
  const names = new Set<string>();
  named.forEach(({ name }, i) => {
    if (names.has(name)) add(`${at}[${i}].name`, `found "${name}" twice, expected each ${what} once`);
    names.add(name);
  });
}
