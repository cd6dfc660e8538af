/** The pressure steps of a hanger that do not go by the book. First: 9,000 kPa for 3 min; second: 16,000 for 5; last shears at 22,000. */
import { describe, expect, it } from 'vitest';
import { HangerScript } from '../../heldOut/hangerScript.ts';
import { atDepth, numbersOf, playCase as playWith, pumpTo } from '../../support/hangerCases.ts';

/** Without balls: the steps alone. */
const playCase = (script: HangerScript, options?: Parameters<typeof playWith>[2]) =>
  playWith(
    script,
    (plan) => {
      delete plan.balls;
    },
    options,
  );
const first = (): HangerScript => pumpTo(atDepth(), 9050);
const hold = (script: HangerScript, seconds: number) => script.go(seconds);

describe('a hold', () => {
  it.each<[string, () => HangerScript, string, RegExp]>([
    ['that is long enough', () => hold(first(), 190).go(30, { spp: 0 }), 'passed', /^held 90\d\d kPa after 3\.0 min/],
    ['let off early', () => hold(first(), 100).go(15, { spp: 0 }), 'not proven', /^let off after 1\.[67] min of 3\.0/],
    ['pumped on early', () => pumpTo(hold(first(), 100), 12_000).go(30), 'not proven', /^pumped on after/],
    [
      'that loses slowly',
      () => first().go(150, { spp: 8300 }).go(60),
      'failed',
      /^lost \d+ kPa with the pumps stopped/,
    ],
    [
      'that loses slowly and never leaves the band',
      () => pumpTo(atDepth(), 9600).go(170, { spp: 8900 }).go(60),
      'failed',
      /^lost/,
    ],
  ])('%s', (_, script, outcome, detail) => {
    const { steps, details, events } = playCase(script().go(30));
    expect(steps).toEqual([`pressure step first: ${outcome}`]);
    expect(details[0]).toMatch(detail);
    expect(events).toEqual(outcome === 'failed' ? ['test not passed'] : []);
  });

  it('that is pumped up again starts anew, and its clock with it', () => {
    const script = pumpTo(
      pumpTo(hold(first(), 100).go(5, { spp: 8800 }), 9050)
        .go(100)
        .go(5, { spp: 8800 }),
      9050,
    );
    expect(playCase(hold(script, 100).go(20, { spp: 0 }).go(20)).steps).toEqual(['pressure step first: not proven']);
    expect(playCase(hold(script, 80).go(20, { spp: 0 }).go(20)).steps).toEqual(['pressure step first: not proven']);
  });

  it('with a hole in the data is as long as what follows the hole', () => {
    const script = hold(first(), 200);
    const at = script.t - 60;
    const { steps, details } = playCase(script.go(15, { spp: 0 }).go(30), { hole: [at - 20, at] });
    expect(steps).toEqual(['pressure step first: not proven']);
    expect(details[0]).toMatch(/let off after 1\.0 min/);
    const longer = playCase(hold(first(), 340).go(15, { spp: 0 }).go(30), { hole: [at - 20, at] });
    expect(longer.steps).toEqual(['pressure step first: passed']);
  });

  it('of less than 20 s is none, nor one at another pressure', () => {
    expect(playCase(first().go(12).go(10, { spp: 0 }).go(30)).steps).toEqual([]);
    expect(playCase(pumpTo(atDepth(), 11_500).go(300).go(20, { spp: 0 })).steps).toEqual([]);
  });

  it('says how fast it declined', () => {
    // 90 kPa in 3.5 min by hand: 25.7 kPa/min.
    const { record } = playCase(first().go(210, { spp: 8960 }).go(20, { spp: 0 }).go(20));
    expect(numbersOf(record.steps![0]!)['decline a minute']).toBeCloseTo(25.7, -1);
  });

  it('is nothing with a string that turns, or a flow that was never seen to move', () => {
    expect(playCase(pumpTo(atDepth().go(3, { rpm: 30 }), 9050).go(200)).steps).toEqual([]);
    const dead = new HangerScript({ depth: 2410, spp: 5000, annulus: 0, flow: 0, rpm: 0, hook: 720 });
    expect(playCase(dead.go(60).go(30, { spp: 9050 }).go(300)).steps).toEqual([]);
  });
});

describe('a step that shears', () => {
  const before = (): HangerScript => pumpTo(pumpTo(atDepth(), 9050).go(190), 16_100).go(310);
  const last = (script: HangerScript) => playCase(script.go(40)).steps.at(-1);

  it.each<[string, (script: HangerScript) => HangerScript, string]>([
    [
      'falls sharply',
      (s) => s.go(5, { flow: 90 }).go(43, { spp: 22_100 }).go(1.5, { spp: 300 }).go(20, { flow: 0 }),
      'passed',
    ],
    [
      'falls sharply below its pressure, as near as that comes',
      (s) => s.go(5, { flow: 90 }).go(40, { spp: 20_600 }).go(1.5, { spp: 300 }),
      'passed',
    ],
    ['does not', (s) => s.go(5, { flow: 90 }).go(80, { spp: 26_500 }).go(3, { flow: 0 }).go(30), 'failed'],
    ['is held for its time and let off', (s) => pumpTo(s, 22_000).go(80).go(40, { spp: 300 }), 'failed'],
    ['is let off before its time', (s) => pumpTo(s, 22_000).go(35).go(40, { spp: 300 }), 'not proven'],
  ])('%s', (_, more, outcome) => {
    expect(last(more(before()))).toBe(`pressure step last: ${outcome}`);
  });
});
