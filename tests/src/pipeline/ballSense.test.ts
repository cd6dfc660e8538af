/** A ball on its way: 9.31 m³ to its seat, slow from 2 m³ before it, overdue 1.5 after. */
import { describe, expect, it } from 'vitest';
import type { HangerScript } from '../../heldOut/hangerScript.ts';
import { TO_SEAT_M3 } from '../../heldOut/hangerTrip.ts';
import { atDepth, numbersOf, playCase } from '../../support/hangerCases.ts';

const drop = (): HangerScript => atDepth().drop('ball 1').go(10, { flow: 700, spp: 5200 });
const ball = (script: HangerScript, ...more: [Parameters<typeof playCase>[1]?, Parameters<typeof playCase>[2]?]) => {
  const { record, events } = playCase(script, ...more);
  return { step: record.steps![0]!, record, events };
};

describe('a ball let go', () => {
  it.each<[string, number, RegExp]>([
    ['on its way', 300, /^on its way/],
    ['near its seat', 660, /^slow down to 180 L\/min: near its seat/],
    ['due', 830, /^should be on its seat/],
    ['overdue', 960, /^overdue/],
  ])('is %s by the volume pumped', (_, seconds, detail) => {
    const { step, events } = ball(drop().go(seconds));
    expect(step.outcome).toBe('open');
    expect(step.detail).toMatch(detail);
    expect(events).toEqual(seconds > 950 ? ['ball overdue'] : []);
    expect(numbersOf(step)['volume predicted']).toBeCloseTo(TO_SEAT_M3, 1);
  });

  it('that comes late ends the event', () => {
    const { step, record } = ball(
      drop().go(960).go(10, { flow: 180, spp: 450 }).go(30).go(14, { spp: 3600 }).go(4, { flow: 0 }).go(20),
    );
    expect(step.outcome).toBe('passed');
    expect(record.events[0]!.to).toBe(step.to);
  });

  it('that comes early, at full flow, is seen as well', () => {
    const { step } = ball(drop().go(500).go(10, { spp: 14_000 }).go(4, { flow: 0 }).go(20));
    expect(step.outcome).toBe('passed');
    expect(numbersOf(step)['volume pumped']).toBeCloseTo(5.95, 1);
  });

  it('is followed over a hole in the data by the strokes, or by the flow', () => {
    const script = drop().go(600);
    const hole: [number, number] = [script.t - 400, script.t - 200];
    const whole = numbersOf(ball(script).step)['volume pumped']!;
    // The numbers are written every 10 s: 0.12 m³.
    const counted = ball(script, undefined, { hole }).step;
    expect(Math.abs(numbersOf(counted)['volume pumped']! - whole)).toBeLessThan(0.13);
    expect(counted.detail).toMatch(/20\d s without data/);
  });

  it('has no prediction without a string, and says so', () => {
    const { step } = ball(drop().go(400), (plan) => {
      delete plan.string;
    });
    expect(step.detail).toMatch(/^on its way; the plan has no string/);
    expect(numbersOf(step)['volume predicted']).toBeUndefined();
  });
});
