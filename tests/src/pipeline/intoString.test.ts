import { expect, it } from 'vitest';
import { emptySample, type Sample } from '../../../src/channels.ts';
import { flowIntoString } from '../../../src/pipeline/intoString.ts';

const pumps = [16, 12].map((litresPerStroke, i) => ({ name: `${i + 1}`, litresPerStroke }));
const sample = (read: Partial<Sample>): Sample => ({ ...emptySample(0, 0), ...read });

it.each<[string, Partial<Sample>, number]>([
  ['the flow that is read', { flowIn: 500, strokeRate1: 10, strokeRate2: 10 }, 500],
  ['a flow of nothing', { flowIn: 0, strokeRate1: 10, strokeRate2: 10 }, 0],
  ['the strokes of all pumps', { strokeRate1: 10, strokeRate2: 20 }, 400],
  ['not known while one pump is not read', { strokeRate1: 10 }, Number.NaN],
  ['not known without a reading', {}, Number.NaN],
])('is %s', (_, read, flow) => {
  expect(flowIntoString(pumps, sample(read))).toBe(flow);
});

it('is not known from strokes that the plan gives no volume for', () => {
  expect(flowIntoString([], sample({ strokeRate1: 10 }))).toBeNaN();
});
