/** Weights of the free string: 775 up, 680 down, 720 at rest. */
import { describe, expect, it } from 'vitest';
import { advance } from '../../../src/pipeline/run.ts';
import { createRun } from '../../../src/pipeline/runState.ts';
import { compileJob } from '../../../src/plan/job.ts';
import { HangerScript } from '../../heldOut/hangerScript.ts';
import { heldOutHangerPlan } from '../../heldOut/hangerTrip.ts';

const start = (): HangerScript => new HangerScript({ depth: 2410, spp: 0, annulus: 0, flow: 0, rpm: 0, hook: 720 });
function weights(script: HangerScript, depthStep = 0.01) {
  const run = createRun(compileJob(heldOutHangerPlan()));
  for (const sample of script.samples({ seed: 3, depthStep })) advance(run, { kind: 'sample', sample });
  return run.hanger.before;
}

describe('the free weights', () => {
  it.each([0.01, 0.1])('are measured while the string moves, depth to %d m', (depthStep) => {
    const script = start()
      .go(40)
      .go(6, { hook: 775, depth: 2409.8 })
      .go(60, { depth: 2405 })
      .go(4, { hook: 720 })
      .go(40);
    script.go(6, { hook: 680, depth: 2405.2 }).go(60, { depth: 2410 }).go(4, { hook: 720 }).go(40);
    const { upKn, downKn, restKn } = weights(script, depthStep);
    expect(Math.abs(upKn - 775)).toBeLessThan(4);
    expect(Math.abs(downKn - 680)).toBeLessThan(4);
    expect(Math.abs(restKn - 720)).toBeLessThan(4);
  });

  it.each<[string, HangerScript]>([
    ['a movement that the string gives elastically', start().go(40).go(50, { hook: 900, depth: 2409.05 }).go(20)],
    ['a string that turns', start().go(40, { rpm: 30 }).go(6, { hook: 735, depth: 2409.8 }).go(60, { depth: 2405 })],
    ['a string at rest', start().go(200)],
  ])('are not taken from %s', (_, script) => {
    expect(weights(script).upKn).toBeNaN();
  });
});
