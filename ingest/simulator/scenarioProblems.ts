/** What the schema of a scenario cannot say: whether its incidents can happen on the plan at all. */
import type { Job, PlanProblem } from '../../src/plan/job.ts';
import type { Scenario } from './scenario.ts';

/** Empty when every incident finds its place on the plan. */
export function scenarioProblems(scenario: Scenario, job: Job): PlanProblem[] {
  const problems: PlanProblem[] = [];
  const expanded = job.joints.filter((joint) => joint.recipe);
  scenario.incidents.forEach((incident, i) => {
    const joint = expanded.find(({ name }) => name === incident.joint);
    if (!joint) {
      const names = expanded.map(({ name }) => name).join(', ');
      problems.push({ path: `incidents[${i}].joint`, text: `found "${incident.joint}", expected one of ${names}` });
    } else if (incident.into >= joint.requiredM) {
      problems.push({
        path: `incidents[${i}].into`,
        text: `found ${incident.into} in "${incident.joint}", expected less than ${joint.requiredM}`,
      });
    } else if (incident.kind.startsWith('valve') && joint.kind !== 'isolation') {
      problems.push({ path: `incidents[${i}].joint`, text: `found "${incident.joint}", expected an isolation joint` });
    }
  });
  if (scenario.hanger) {
    const { hanger, balls, string } = job.engineering;
    if (!hanger && balls.length === 0)
      problems.push({ path: 'hanger', text: 'found it with a plan that has neither hanger nor balls' });
    if (string.length === 0)
      problems.push({ path: 'hanger', text: 'found it with a plan that has no string, expected one' });
  }
  if (scenario.tag && !job.engineering.depthTag)
    problems.push({ path: 'tag', text: 'found it with a plan that has no depthTag, expected one' });
  if ((scenario.tag || scenario.rig.gives) && job.engineering.string.length === 0)
    problems.push({
      path: scenario.tag ? 'tag' : 'rig.gives',
      text: 'found it with a plan that has no string, expected one',
    });
  if (expanded.length === 0)
    problems.push({ path: 'plan', text: 'found no joint to be expanded, expected at least one' });
  return problems;
}
