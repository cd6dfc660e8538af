/** What the engineering says in the record of the parts that a plan leaves out. */
import { describe, expect, it } from 'vitest';
import { createRun } from '../../../src/pipeline/runState.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { planSchema } from '../../../src/plan/planSchema.ts';
import { engineeringRecord } from '../../../src/record/engineeringRecord.ts';
import { converter } from '../../../src/units.ts';
import { testPlan } from '../../support/trips.ts';

function turnedOff(parts: object): string {
  const plan = planSchema.parse({ ...testPlan(), ...parts });
  return (engineeringRecord(createRun(compileJob(plan)), converter('metric')).turnedOff ?? []).join('\n');
}

describe('what is turned off', () => {
  it.each(['string', 'hole', 'survey', 'surface.pumps', 'depthTag', 'balls', 'hanger'])('says so: no %s', (part) => {
    expect(turnedOff({ surface: {} })).toMatch(new RegExp(`needs (\\w+ and )*${part}`));
  });

  it('no longer says so once the part is there', () => {
    expect(turnedOff({ survey: [{ md: 0, inclination: 0, azimuth: 0 }] })).not.toContain('needs survey');
    expect(turnedOff({ surface: { pumps: [{ name: '1', displacement: 16.2 }] } })).not.toContain('surface.pumps');
  });

  it('names the events that no limit of the plan lets be judged', () => {
    expect(turnedOff({ limits: {} })).toContain('the plan gives no limit: stall, high hookload');
    expect(turnedOff({ limits: { stall: { feed: 0.05, seconds: 30 } } })).not.toContain('stall');
  });
});
