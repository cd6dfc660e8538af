/** Rules D1 to D5: the depth of the end of the string from the reported end depth and the block position. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { advanceEndDepth } from '../../../src/pipeline/endDepth.ts';
import { createEndDepth, depthStep, depthTolerance, type EndDepth } from '../../../src/pipeline/endDepthState.ts';
import { readTable } from '../table.ts';

/**
 * Columns: `slips` 1 in slips, 0 on the block, - either; `gap` 1 where this is the first sample after a stretch without data. Expected: the note, and
 * the depth made of the readings (to a millimetre).
 */
function play(table: string, state: EndDepth = createEndDepth()): void {
  for (const { line, given, wanted } of readTable(table)) {
    const note = advanceEndDepth(
      state,
      given.t_s! * 1000,
      given.depth_m!,
      given.block_m!,
      Number.isNaN(given.slips) ? 'either' : given.slips === 1 ? 'slips' : 'block',
      given.gap === 1,
    );
    const said = note.kind === 'spike' ? `spike of ${note.of}` : note.kind;
    expect(`${said} ${state.depth.toFixed(3)}`, `row ${line}`).toBe(`${wanted.note} ${wanted.depth}`);
  }
}

describe('D1: depth and block add up to a constant', () => {
  it('takes the reported depth while it is as fine as the block', () =>
    play(`
      t_s  depth_m  block_m  slips  gap | note  depth
        0  1000.00    20.00      0    0 | fine  1000.000
        1  1000.02    19.98      0    0 | fine  1000.020
        2  1000.04    19.96      0    0 | fine  1000.040
        3  1000.06    19.94      0    0 | fine  1000.060
    `));

  it('stays unknown until a depth is read', () =>
    play(`
      t_s  depth_m  block_m  slips  gap | note  depth
        0        -    20.00      0    0 | fine  NaN
        1        -    19.98      0    0 | fine  NaN
        2  1000.04    19.96      0    0 | fine  1000.040
    `));

  it('is carried by the block where the depth is missing for a moment, and by the depth where the block is', () =>
    play(`
      t_s  depth_m  block_m  slips  gap | note  depth
        0  1000.00    20.00      0    0 | fine  1000.000
        1        -    19.97      0    0 | fine  1000.030
        2        -    19.94      0    0 | fine  1000.060
        3  1000.09        -      0    0 | fine  1000.090
        4        -        -      0    0 | fine  1000.090   // nothing read: where it was
        5  1000.15    19.85      0    0 | fine  1000.150
    `));

  it('follows a finer block between the steps of a coarse depth, to within a step of the depth', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.3, max: 4, noNaN: true }),
        fc.double({ min: 0, max: 0.1, noNaN: true }),
        (feed, start) => {
          const state = createEndDepth();
          let worst = 0;
          let lastTrue = Number.NaN;
          for (let s = 0; s <= 400; s += 1) {
            const truth = 1000 + start + (feed * s) / 60;
            const note = advanceEndDepth(
              state,
              s * 1000,
              Math.round(truth * 10) / 10,
              Math.round((25 - truth + 1000) * 100) / 100,
              'block',
              false,
            );
            expect(note.kind).toBe('fine');
            if (s > 300) worst = Math.max(worst, Math.abs(state.depth - truth));
            // The movement itself is known to the centimetre once the block carries.
            if (s > 300) expect(Math.abs(state.advanceM - (truth - lastTrue))).toBeLessThanOrEqual(0.0101);
            lastTrue = truth;
          }
          expect(depthStep(state)).toBe(0.01);
          expect(worst).toBeLessThan(0.06);
        },
      ),
      { numRuns: 30 },
    );
  });

  it('judges no finer than the depth is printed', () => {
    const state = createEndDepth();
    for (let s = 0; s < 200; s += 1) {
      advanceEndDepth(state, s * 1000, Math.round((1000 + s * 0.02) * 10) / 10, Number.NaN, 'block', false);
    }
    expect(depthStep(state)).toBe(0.1);
    expect(depthTolerance(state)).toBeGreaterThanOrEqual(0.1);
  });
});

describe('D2: a reading that leaves the line alone is refused', () => {
  it('refuses a spike of the depth and keeps moving with the block', () =>
    play(`
      t_s  depth_m  block_m  slips  gap | note                depth
        0  1000.00    20.00      0    0 | fine                1000.000
        1  1000.02    19.98      0    0 | fine                1000.020
        2  1412.00    19.96      0    0 | spike of end depth  1000.040
        3  1000.06    19.94      0    0 | fine                1000.060
    `));

  it('refuses a spike of the block and keeps moving with the depth', () =>
    play(`
      t_s  depth_m  block_m  slips  gap | note                     depth
        0  1000.00    20.00      0    0 | fine                     1000.000
        1  1000.02    19.98      0    0 | fine                     1000.020
        2  1000.04     3.10      0    0 | spike of block position  1000.040
        3  1000.06    19.94      0    0 | fine                     1000.060   // back on the line
        4  1000.08    19.92      0    0 | fine                     1000.080
    `));

  it('refuses a depth faster than any block where there is no block to ask', () =>
    play(`
      t_s  depth_m  block_m  slips  gap | note                depth
        0  1000.00        -      0    0 | fine                1000.000
        1  1000.02        -      0    0 | fine                1000.020
        2   987.00        -      0    0 | spike of end depth  1000.020
        3  1000.06        -      0    0 | fine                1000.060
    `));

  it('refuses a spike in the slips, where nothing moves', () =>
    play(`
      t_s  depth_m  block_m  slips  gap | note                depth
        0  1000.00    20.00      1    0 | fine                1000.000
        1  1900.00    20.00      1    0 | spike of end depth  1000.000
        2  1000.00    20.00      1    0 | fine                1000.000
    `));
});

describe('D3: both leaving together is an encoder that wrapped', () => {
  it('goes on counting from where it was, until both come back', () =>
    play(`
      t_s  depth_m  block_m  slips  gap | note  depth
        0  1000.00    10.00      0    0 | fine  1000.000
        1  1000.02     9.98      0    0 | fine  1000.020
        2  1000.04     9.96      0    0 | fine  1000.040
        3   984.06    25.94      0    0 | wrap  1000.055   // by the smoothed speed
        4   984.08    25.92      0    0 | wrap  1000.075
        5  1000.10     9.90      0    0 | fine  1000.100
    `));

  it('takes a wrap that lasts for two minutes as it is', () => {
    const state = createEndDepth();
    advanceEndDepth(state, 0, 1000, 10, 'block', false);
    let last = 'fine';
    for (let s = 1; s <= 125; s += 1) {
      last = advanceEndDepth(state, s * 1000, 984, 26, 'block', false).kind;
      if (s < 120) expect([last, state.depth.toFixed(2)]).toEqual(['wrap', '1000.00']);
      if (last === 'moved') break;
    }
    expect(last).toBe('moved');
    expect(state.depth).toBeCloseTo(984, 6);
  });

  it('holds in the slips as well', () =>
    play(`
      t_s  depth_m  block_m  slips  gap | note  depth
        0  1000.00    10.00      1    0 | fine  1000.000
        1   984.00    26.00      1    0 | wrap  1000.000
        2   984.00    26.00      1    0 | fine  1000.000
    `));
});

describe('D4: a disagreement that lasts is a new truth', () => {
  it('takes the reported depth after twelve seconds, and reports the move', () =>
    play(`
      t_s  depth_m  block_m  slips  gap | note                depth
        0  1000.00    20.00      0    0 | fine                1000.000
        2  1012.00    20.00      0    0 | spike of end depth  1000.000
        6  1012.00    20.00      0    0 | spike of end depth  1000.000
       10  1012.00    20.00      0    0 | spike of end depth  1000.000
       13  1012.00    20.00      0    0 | spike of end depth  1000.000
       14  1012.00    20.00      0    0 | moved               1012.000
       15  1012.02    19.98      0    0 | fine                1012.020
    `));
});

describe('D6: a block that moves alone while nobody knows yet', () => {
  it('does not carry the depth away, and is no trouble to report', () =>
    play(`
      t_s  depth_m  block_m  slips  gap | note  depth
        0  1000.00    2.000      0    0 | fine  1000.000
        1  1000.02    1.980      0    0 | fine  1000.020
        2  1000.02    2.500      -    0 | fine  1000.020
        3  1000.02    3.020      -    0 | fine  1000.020
        4  1000.02    3.500      -    0 | fine  1000.020
        5  1000.02    9.000      1    0 | fine  1000.020
        6  1000.02   12.000      1    0 | fine  1000.020
        7  1000.00   12.020      0    0 | fine  1000.000
    `));

  /** A block read to the millimetre carries the depth; then it goes up alone. */
  function untilSlips(hanging: 'block' | 'either'): { notes: Set<string>; state: EndDepth } {
    const state = createEndDepth();
    const notes = new Set<string>();
    const step = (s: number, depth: number, block: number, on: 'block' | 'slips' | 'either') =>
      notes.add(advanceEndDepth(state, s * 2000, Math.round(depth * 100) / 100, block, on, false).kind);
    for (let s = 0; s <= 60; s += 1) step(s, 1000 + s * 0.041, 20.003 - s * 0.041, 'block');
    for (let s = 61; s <= 68; s += 1) step(s, 1002.46, 17.543 + (s - 60) * 0.15, hanging);
    step(69, 1002.46, 18.893, 'slips');
    step(70, 1002.46, 19.043, 'slips');
    return { notes, state };
  }

  it('puts back what the block had carried away once slips are known', () => {
    for (const hanging of ['block', 'either'] as const)
      expect(Math.abs(untilSlips(hanging).state.depth - 1002.46), hanging).toBeLessThan(0.02);
  });

  it('is a trouble where the string is known to hang on the block: one of the two readings is wrong', () => {
    expect([...untilSlips('either').notes]).toEqual(['fine']);
    expect([...untilSlips('block').notes]).toContain('spike');
  });

  it('leaves a leap of the depth what it is', () =>
    play(`
      t_s  depth_m  block_m  slips  gap | note                depth
        0  1000.00    20.00      -    0 | fine                1000.000
        1  1000.02    19.98      -    0 | fine                1000.020
        2  1412.00    19.96      -    0 | spike of end depth  1000.040
        3  1000.06    19.94      -    0 | fine                1000.060
    `));
});

describe('D5: after a stretch without data the depth is taken as it is', () => {
  it('also where it lies far away', () =>
    play(`
      t_s  depth_m  block_m  slips  gap | note  depth
        0  1000.00    20.00      0    0 | fine  1000.000
        1  1000.02    19.98      0    0 | fine  1000.020
       61  1009.50    10.50      0    1 | fine  1009.500
       62  1009.52    10.48      0    0 | fine  1009.520
    `));

  it('stands in the slips while the block comes up for the next stand', () =>
    play(`
      t_s  depth_m  block_m  slips  gap | note  depth
        0  1000.00     2.00      1    0 | fine  1000.000
        5  1000.00     9.00      1    0 | fine  1000.000
       10  1000.00    18.00      1    0 | fine  1000.000
       15  1000.00    29.00      1    0 | fine  1000.000
       16  1000.02    28.98      0    0 | fine  1000.020
       17        -    28.95      0    0 | fine  1000.050   // the constant has been found anew
    `));
});
