/** The weights and the torque of the free string, and what rests on the tool. Magnitudes are common practice. */
import { describe, expect, it } from 'vitest';
import { buoyedWeightKn } from '../../../src/engineering/buoyancy.ts';
import type { Run } from '../../../src/pipeline/runState.ts';
import { freeWeightOf, netSetDownOf, overpullOf, setDownOf, torqueOnToolOf } from '../../../src/pipeline/setDown.ts';
import { circulating, planWith, play, type Readings, ramp, rolling, toCm, wavering } from './scene.ts';

const STRING = {
  fluid: { density: 1180 },
  string: [{ length: 3000, od: 127, id: 108.6, mass: 31 }],
};

/** A string of 790 kN that goes down and up without turning in blank pipe: 40 kN of drag either way. */
const trip = (s: number): Readings => {
  const down = s >= 60 && s < 120;
  const up = s >= 150 && s < 210;
  return circulating(s, {
    bitDepth: toCm(s < 135 ? ramp(s, 60, 120, 1011, 1013) : ramp(s, 150, 210, 1013, 1011)),
    blockPosition: toCm(s < 135 ? ramp(s, 60, 120, 15, 13) : ramp(s, 150, 210, 13, 15)),
    rotation: s < 45 || s >= 240 ? 30 : 0,
    torque: s < 45 || s >= 240 ? 4 : 0,
    hookload: (down ? 750 : up ? 830 : 790) + 2 * wavering(s, 5),
  });
};
const now = (run: Run, more: Readings) => ({ ...run.sample!, ...more });

describe('the free weights', () => {
  it('are those of the string turning, going down and going up', () => {
    const run = play({ seconds: 300, at: trip });
    expect(freeWeightOf(run.stringWeight, 'turning')).toBeCloseTo(790, -0.5);
    expect(Math.abs(freeWeightOf(run.stringWeight, 'down') - 750)).toBeLessThan(3);
    expect(Math.abs(freeWeightOf(run.stringWeight, 'up') - 830)).toBeLessThan(3);
  });

  it('are not known before the hookload has been steady for some readings', () => {
    expect(
      setDownOf(play({ seconds: 8, at: circulating }).stringWeight, now(play({ seconds: 8, at: circulating }), {})),
    ).toBeNaN();
    const run = play({ seconds: 12, at: circulating });
    expect(setDownOf(run.stringWeight, now(run, { hookload: 700 }))).toBeCloseTo(90, -0.7);
  });

  it('are not learnt from a tool that rolls', () => {
    const run = play({ seconds: 200, at: rolling });
    expect(Math.abs(freeWeightOf(run.stringWeight, 'turning') - 790)).toBeLessThan(3);
    expect(Math.abs(netSetDownOf(run.stringWeight, now(run, { hookload: 770 })) - 20)).toBeLessThan(3);
  });

  it('are not moved by a minute of weight set down on something without turning', () => {
    const run = play({
      seconds: 150,
      at: (s) => circulating(s, s < 60 ? {} : { rotation: 0, torque: 0, hookload: 700 + wavering(s) }),
    });
    expect(Math.abs(setDownOf(run.stringWeight, run.sample!) - 90)).toBeLessThan(4);
  });

  it('are not new ones after two short movements on something, an hour apart', () => {
    const held = (s: number): boolean => (s > 300 && s < 330) || (s > 900 && s < 930);
    const at = (s: number): Readings => {
      const readings = trip(Math.min(s, 239));
      if (s < 240) return readings;
      const down = s < 600 ? ramp(s, 300, 330, 1011, 1012) : ramp(s, 900, 930, 1012, 1013);
      const hookload = held(s) ? 880 : 790;
      return { ...readings, bitDepth: toCm(down), blockPosition: toCm(1026 - down), hookload: hookload + wavering(s) };
    };
    const run = play({ seconds: 960, at });
    expect(Math.abs(freeWeightOf(run.stringWeight, 'down') - 750)).toBeLessThan(4);
  });

  it('are new ones once the string has lost a liner for good', () => {
    const run = play({ seconds: 300, at: (s) => circulating(s, { hookload: (s < 100 ? 790 : 650) + wavering(s) }) });
    expect(Math.abs(freeWeightOf(run.stringWeight, 'turning') - 650)).toBeLessThan(3);
  });

  it('grow with the depth by the buoyed weight of a metre where the plan has the string', () => {
    const perM = buoyedWeightKn(31, 1, 1180);
    const run = play({ plan: planWith({}, STRING), seconds: 60, at: circulating });
    const before = freeWeightOf(run.stringWeight, 'turning');
    run.stringWeight.depth += 100;
    expect(freeWeightOf(run.stringWeight, 'turning') - before).toBeCloseTo(100 * perM, 6);
  });

  it('without a string in the plan hold for a stand and a half, and are then not known', () => {
    const run = play({ seconds: 60, at: circulating });
    run.stringWeight.depth += 39;
    expect(freeWeightOf(run.stringWeight, 'turning')).toBeCloseTo(790, -0.5);
    run.stringWeight.depth += 2;
    expect(freeWeightOf(run.stringWeight, 'turning')).toBeNaN();
  });
});

describe('net of drag', () => {
  it('a string going down without turning is held against its own free weight', () => {
    const run = play({ seconds: 300, at: trip });
    run.stringWeight.way = 'down';
    expect(Math.abs(netSetDownOf(run.stringWeight, now(run, { rotation: 0, hookload: 750 })))).toBeLessThan(3);
    expect(Math.abs(netSetDownOf(run.stringWeight, now(run, { rotation: 30, hookload: 750 })) - 40)).toBeLessThan(3);
  });

  it('a pull is measured from the free up-weight, and not known before that was', () => {
    const run = play({ seconds: 300, at: trip });
    expect(Math.abs(overpullOf(run.stringWeight, now(run, { rotation: 0, hookload: 930 })) - 100)).toBeLessThan(3);
    expect(overpullOf(play({ seconds: 60, at: circulating }).stringWeight, now(run, { rotation: 0 }))).toBeNaN();
  });
});

describe('torque on the tool', () => {
  it('is what is above free rotation in the same range of rotation', () => {
    const run = play({ seconds: 200, at: rolling });
    expect(torqueOnToolOf(run.stringWeight, now(run, { torque: 8, rotation: 30 }))).toBeCloseTo(4, 0);
    expect(torqueOnToolOf(run.stringWeight, now(run, { torque: 8, rotation: 38 }))).toBeCloseTo(4, 0);
  });

  it('is not known at a rotation that was never free, nor without rotation', () => {
    const run = play({ seconds: 200, at: rolling });
    expect(torqueOnToolOf(run.stringWeight, now(run, { torque: 8, rotation: 90 }))).toBeNaN();
    expect(torqueOnToolOf(run.stringWeight, now(run, { torque: 8, rotation: 0 }))).toBeNaN();
  });
});
