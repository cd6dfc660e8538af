/** Stretches of steady flow: what ends one, and what does not. */
import { describe, expect, it } from 'vitest';
import { advanceSteadyFlow, createSteadyFlow, isSettled } from '../../../src/pipeline/steadyFlow.ts';

type Reading = readonly [flow: number, kpa: number];
const times = (count: number, reading: Reading): Reading[] => Array.from({ length: count }, () => reading);

/** Plays readings a period apart; the number of stretches begun, and whether the last is settled. */
function play(readings: readonly Reading[], periodS = 1) {
  const state = createSteadyFlow();
  readings.forEach(([flow, kpa], i) => {
    advanceSteadyFlow(state, i * periodS * 1000, flow, kpa, periodS * 1000);
  });
  return { stretches: state.stretch, settled: isSettled(state, (readings.length - 1) * periodS * 1000), state };
}

describe('a stretch of steady flow', () => {
  it.each([
    ['long enough', times(20, [900, 9000]), 1, 1, true],
    ['too short', times(6, [900, 9000]), 1, 1, false],
    ['three frames in five seconds', times(3, [900, 9000]), 5, 1, false],
    ['four frames in five seconds', times(4, [900, 9000]), 5, 1, true],
    ['one spike of pressure', [...times(20, [900, 9000]), [900, 30000], ...times(3, [900, 9000])], 1, 1, true],
    ['a nozzle that plugs', [...times(20, [900, 9000]), ...times(4, [900, 10500])], 1, 2, false],
    ['the pumps go up', [...times(20, [900, 9000]), ...times(20, [1000, 11000])], 1, 2, true],
    ['the pumps are off', [...times(20, [900, 9000]), ...times(3, [0, 0])], 1, 1, false],
    [
      'a reading that is missing',
      [...times(20, [900, 9000]), [Number.NaN, 9000], ...times(2, [900, 9000])],
      1,
      1,
      true,
    ],
    ['many that are missing', [...times(20, [900, 9000]), ...times(20, [Number.NaN, 9000]), [900, 9000]], 1, 2, false],
  ] as [string, Reading[], number, number, boolean][])('%s', (_, readings, periodS, stretches, settled) => {
    expect(play(readings, periodS)).toMatchObject({ stretches, settled });
  });

  it('follows what creeps', () => {
    const creeping = Array.from({ length: 300 }, (_, i): Reading => [900, 9000 - 10 * i]);
    const { stretches, state } = play(creeping);
    expect(stretches).toBe(1);
    expect(Math.abs(state.pressure - 6010)).toBeLessThan(150);
  });
});
