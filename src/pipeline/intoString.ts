/** Flow into the string: the flow reading, else what the pumps' strokes deliver. */
import type { Sample } from '../channels.ts';
import { pumpFlowLMin } from '../engineering/volumes.ts';
import type { Pump } from '../plan/engineering.ts';

/** L/min; NaN where neither the flow nor the stroke rate of every pump of the plan is read. */
export function flowIntoString(pumps: readonly Pump[], sample: Sample): number {
  if (!Number.isNaN(sample.flowIn)) return sample.flowIn;
  if (pumps.length === 0 || pumps.length > 3) return Number.NaN;
  let flow = 0;
  for (let i = 0; i < pumps.length; i += 1) {
    const rate = i === 0 ? sample.strokeRate1 : i === 1 ? sample.strokeRate2 : sample.strokeRate3;
    flow += pumpFlowLMin(pumps[i]!.litresPerStroke, rate);
  }
  return flow;
}
