/** Rules S1 to S4: whether the string hangs in the slips. */
import { describe, expect, it } from 'vitest';
import { advanceSlips, createSlips, hangingOf, type Slips } from '../../../src/pipeline/slips.ts';
import { readTable } from '../table.ts';

const STEP_M = 0.01;

/** `flag`: what the source itself says, 1 in slips, 0 not, - nothing. */
function play(state: Slips, table: string): Slips {
  for (const { line, given, wanted } of readTable(table)) {
    const depth = given.depth_m!;
    advanceSlips(state, given.t_s! * 1000, given.hookload_kN!, given.block_m!, depth, depth, given.flag!, STEP_M);
    expect(state.in ? 'in' : 'out', `row ${line}`).toBe(wanted.slips);
  }
  return state;
}

describe('S1: hookload at the weight of the block', () => {
  it('enters below a quarter of the way from block to string weight, leaves above a half', () =>
    // Block 180, string 780: the way is 600, so in below 330 and out above 480.
    play(
      createSlips(180),
      `
      t_s  hookload_kN  block_m  depth_m  flag | slips
        0          780     2.00  1000.00     - | out
        1          480     2.00  1000.00     - | out   // picked up slowly onto the slips
        2          340     2.00  1000.00     - | out
        3          300     2.00  1000.00     - | out   // one low reading may be a spike
        4          300     2.00  1000.00     - | in
        5          420     2.00  1000.00     - | in    // between the two levels: as it was
        6          470     2.00  1000.00     - | in
        7          500     2.00  1000.00     - | out
        8          185     2.00  1000.00     - | out   // a spike
        9          780     2.00  1000.00     - | out
      `,
    ));

  it('works without a known block weight', () =>
    play(
      createSlips(undefined),
      `
      t_s  hookload_kN  block_m  depth_m  flag | slips
        0          800     2.00  1000.00     - | out
        1          400     2.00  1000.00     - | out   // half the load: not clear
        2          200     2.00  1000.00     - | out
        3          200     2.00  1000.00     - | in
        4          410     2.00  1000.00     - | in
        5          700     2.00  1000.00     - | out
      `,
    ));

  it('knows slips from the first sample on where the plan gives the block weight', () => {
    play(createSlips(180), 't_s  hookload_kN  block_m  depth_m  flag | slips\n 0  185  2.00  1000.00  - | in');
    play(createSlips(undefined), 't_s  hookload_kN  block_m  depth_m  flag | slips\n 0  185  2.00  1000.00  - | out');
  });

  it('a set-down that takes a third of the weight is no slips', () =>
    play(
      createSlips(180),
      `
      t_s  hookload_kN  block_m  depth_m  flag | slips
        0          780     2.00  1000.00     - | out
        1          580     2.00  1000.00     - | out
        2          520     2.00  1000.00     - | out
      `,
    ));

  it('a spike of the hookload upwards does not lift the level', () => {
    const state = createSlips(180);
    for (let s = 0; s < 60; s += 1) advanceSlips(state, s * 1000, 780, 2, 1000, 1000, Number.NaN, STEP_M);
    advanceSlips(state, 60_000, 40_000, 2, 1000, 1000, Number.NaN, STEP_M);
    expect(state.stringLevel).toBeLessThanOrEqual(780 * 1.1 + 1e-9);
    advanceSlips(state, 61_000, 780, 2, 1000, 1000, Number.NaN, STEP_M);
    expect(state.in).toBe(false);
  });
});

describe('S2: the weight of the block is learnt in the slips', () => {
  it('from what hangs there while the block moves alone', () => {
    const state = createSlips(undefined);
    for (let s = 0; s < 10; s += 1) advanceSlips(state, s * 1000, 800, 2, 1000, 1000, Number.NaN, STEP_M);
    for (let s = 10; s < 40; s += 1) advanceSlips(state, s * 1000, 190, 2 + (s - 10), 1000, 1000, Number.NaN, STEP_M);
    expect(state.blockWeight).toBeCloseTo(190, 6);
  });

  it('is not learnt from a string that has not been seen to hang', () => {
    const state = createSlips(undefined);
    for (let s = 0; s < 60; s += 1)
      advanceSlips(state, s * 1000, 800, 25 - s * 0.02, 1000 + s * 0.02, 1000 + s * 0.02, Number.NaN, STEP_M);
    expect(state.blockWeight).toBeNaN();
  });
});

describe('S3: the block moving while the end stands', () => {
  it('is slips when the hookload sensor is dead', () =>
    play(
      createSlips(180),
      `
      t_s  hookload_kN  block_m  depth_m  flag | slips
        0            -     2.00  1000.00     - | out
        5            -     2.50  1000.00     - | out   // within a metre
       10            -     3.20  1000.00     - | in
       15            -    20.00  1000.00     - | in
       20            -    19.00  1001.00     - | in    // nothing speaks for leaving yet: no hookload, no flag
      `,
    ));

  it('is no slips while the hookload stays at string weight: then the depth is dead', () =>
    play(
      createSlips(180),
      `
      t_s  hookload_kN  block_m  depth_m  flag | slips
        0          780     2.00  1000.00     - | out
        1          185     2.00  1000.00     - | out
        2          185     2.00  1000.00     - | in    // one connection shows that the sensor lives
        9          185     9.00  1000.00     - | in
       10          780     9.00  1000.00     - | out
       30          780     7.00  1000.00     - | out
       60          780     4.00  1000.00     - | out
      `,
    ));
});

describe('S4: the flag of the source', () => {
  it('is believed while the string stands under it', () =>
    play(
      createSlips(180),
      `
      t_s  hookload_kN  block_m  depth_m  flag | slips
        0          780     2.00  1000.00     0 | out
        1          780     2.00  1000.00     1 | in
        2          780     2.00  1000.30     1 | in
        3          780     2.00  1000.00     0 | out
      `,
    ));

  it('is no longer believed once the string has moved half a metre under it', () => {
    const state = play(
      createSlips(180),
      `
      t_s  hookload_kN  block_m  depth_m  flag | slips
        0          780    20.00  1000.00     1 | in
        1          780    19.70  1000.30     1 | in
        2          780    19.40  1000.60     1 | out
        3          780    19.40  1000.60     1 | out
      `,
    );
    expect(state.flagBelieved).toBe(false);
  });
});

describe('S5: between slips that begin and slips that are known', () => {
  it('the string may hang on either while the hookload has dropped and nothing speaks against it', () => {
    const state = createSlips(undefined);
    const on = (s: number, hookload: number, block: number, flag = Number.NaN) => {
      advanceSlips(state, s * 1000, hookload, block, 1000, 1000, flag, STEP_M);
      return hangingOf(state);
    };
    // String of 90 kN under a block of 120: the hookload falls by 43 % only.
    expect(on(0, 210, 2)).toBe('either'); // nothing to compare with yet
    expect(on(1, 205, 2)).toBe('block');
    expect(on(2, 126, 2)).toBe('either');
    expect(on(3, 126, 2.6)).toBe('either');
    expect(on(4, 126, 2.6, 0)).toBe('block');
    expect(on(5, 126, 3.2)).toBe('slips');
    expect(on(6, 210, 3.2)).toBe('block');
  });

  it('a block that has moved alone proves nothing any more once the string is taken up', () => {
    // A light string, picked up without a move that shows in a coarse depth.
    play(
      createSlips(undefined),
      `
      t_s  hookload_kN  block_m  depth_m  flag | slips
        0          330     2.00  1000.00     - | out
        1          328     2.00  1000.00     - | out
        2          190     2.00  1000.00     - | out
        4          190     3.20  1000.00     - | in
        8          192     9.00  1000.00     - | in
       12          188    12.00  1000.00     - | in
       16          190    12.00  1000.00     - | in
       20          306    12.05  1000.00     - | out   // less than the level of before, but far more than the block
       24          308    12.05  1000.00     - | out
      `,
    );
  });

  it('the ramp with which the string is taken up hardly counts as weight of the block', () => {
    const state = createSlips(undefined);
    const at = (s: number, hookload: number, block: number, flag: number) =>
      advanceSlips(state, s * 1000, hookload, block, 1000, 1000, flag, STEP_M);
    for (let s = 0; s < 10; s += 1) at(s, 210, 2, 0);
    for (let s = 10; s < 40; s += 1) at(s, 120, 2, 1);
    for (let s = 40; s < 46; s += 1) at(s, 195, 2, 1);
    expect(state.blockWeight).toBeGreaterThan(119.9);
    expect(state.blockWeight).toBeLessThan(125);
  });
});
