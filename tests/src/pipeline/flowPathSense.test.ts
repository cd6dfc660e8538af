/** The open path as an aligned table: a row for every settled stretch, flow and the relation that its pressure fits. */
import { expect, it } from 'vitest';
import { createFlowPathSense, followFlow, type Relations, sensePath } from '../../../src/pipeline/flowPathSense.ts';
import { createSteadyFlow } from '../../../src/pipeline/steadyFlow.ts';
import { readTable } from '../table.ts';

const SHIFTS_AT = 1100;
const LOSS_SHARE = 0.002;
const low = (flow: number): number => 0.0093 * flow * flow;
const high = (flow: number): number => 0.0133 * flow * flow;

function relations(flow: number): Relations {
  const lossKpa = LOSS_SHARE * flow * flow;
  const off = (kpa: number): number => 0.04 * kpa + 0.2 * lossKpa + 50;
  return {
    lowKpa: low(flow) + lossKpa,
    highKpa: high(flow) + lossKpa,
    lowOffKpa: off(low(flow)),
    highOffKpa: off(high(flow)),
    losses: { leastKpa: 0.8 * lossKpa, mostKpa: 1.2 * lossKpa, fast: flow > 660 },
  };
}

/** `of_low`: the pressure as a multiple of the low relation's nozzles; 1.43 is the high one's. Flow 0: bled off. */
const TABLES = {
  'a valve that works': `
t_s  flow  of_low | path  fault
  0   500    1.00 | low   -
100   900    1.00 | low   -
200  1200    1.43 | high  -
300  1000    1.43 | high  -
400     0    0    | high  -
500   900    1.00 | low   -
`,
  'a valve that does not shift, and then does': `
t_s  flow  of_low | path  fault
  0   900    1.00 | low   -
100  1200    1.00 | low   not shifted
200     0    0    | low   -
300  1200    1.43 | high  -
`,
  'a valve that does not go back': `
t_s  flow  of_low | path  fault
  0   900    1.00 | low   -
100  1200    1.43 | high  -
200     0    0    | high  -
300   800    1.43 | high  not reset
`,
  'one that stands up until it is bled off is no fault': `
t_s  flow  of_low | path  fault
  0   900    1.00 | low   -
100  1200    1.43 | high  -
200   800    1.43 | high  -
`,
  'nozzles a fifth larger than the plan says, which read like the other path above it': `
t_s  flow  of_low | path  fault
  0   900    0.70 | -     -
100  1200    1.00 | -     -
200     0    0    | -     -
300   900    0.70 | -     -
400  1250    1.00 | -     -
`,
  'nozzles a sixth smaller, which read like the other path below it': `
t_s  flow  of_low | path  fault
  0   900    1.43 | -     -
100  1200    2.04 | -     -
200     0    0    | -     -
300   900    1.43 | -     -
`,
  'nozzles that this run has shown at a slow rate tell against the low path at a fast one': `
t_s  flow  of_low | path  fault
  0   200    0.80 | low   -
100  1200    1.00 | -     -
`,
  'a step at an unchanged flow is no valve': `
t_s  flow  of_low | path  fault
  0   900    1.00 | low   -
100   900    1.43 | low   -
200  1200    1.43 | high  -
300  1200    1.00 | high  -
`,
  'at the very flow at which it shifts nothing is said against it': `
t_s  flow  of_low | path  fault
  0   900    1.00 | low   -
100  1105    1.00 | low   -
`,
} as const;

it.each(Object.entries(TABLES))('%s', (_, table) => {
  const state = createFlowPathSense();
  const steady = createSteadyFlow();
  for (const row of readTable(table)) {
    const { t_s, flow, of_low } = row.given as { t_s: number; flow: number; of_low: number };
    const atMs = t_s * 1000;
    followFlow(state, atMs, flow, flow === 0 ? atMs - 20_000 : Number.NaN, SHIFTS_AT);
    if (flow > 0) {
      steady.stretch += 1;
      steady.sinceMs = atMs;
      steady.flow = flow;
      steady.pressure = low(flow) * of_low + LOSS_SHARE * flow * flow;
      sensePath(state, steady, SHIFTS_AT, relations(flow), false);
    } else state.fault = 'none';
    const said = { path: state.path ?? '-', fault: state.fault === 'none' ? '-' : state.fault };
    expect({ t_s, ...said }).toEqual({ t_s, ...row.wanted });
  }
});
