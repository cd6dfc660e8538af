/** A stall: rolling and not getting deeper. Standing still with the driller let off is none. */
import { describe, expect, it } from 'vitest';
import { advanceStall, createStall } from '../../../src/pipeline/stall.ts';
import type { Recipe } from '../../../src/plan/job.ts';
import { readTable } from '../table.ts';

const SCREEN: Recipe = {
  kind: 'screen',
  tools: [0],
  pressureMinKpa: 7500,
  pressureMaxKpa: 11000,
  rpmMin: 15,
  feedMaxMPerMin: 2,
  feedPerTurnMaxM: Infinity,
  torqueMaxKnm: 12,
};
const SLOWEST_M_PER_MIN = 0.05;
/** What has lasted for less is no stall yet: `limits.stall.seconds` of the plan. */
const LASTS_S = 30;

/** `edge` 1 where the tool is at unexpanded ground of its joint. Expected: since when it stalls, s.
 * Between two rows the depth moves evenly, a sample a second; the other readings are those of the later row. */
function play(table: string): void {
  const state = createStall();
  let before: { s: number; depth: number } | undefined;
  for (const { line, given, wanted } of readTable(table)) {
    const to = { s: given.t_s!, depth: given.depth_m! };
    let since = Number.NaN;
    for (let s = before ? before.s + 1 : to.s; s <= to.s; s += 1) {
      const depth = before ? before.depth + ((to.depth - before.depth) * (s - before.s)) / (to.s - before.s) : to.depth;
      since = advanceStall(
        state,
        s * 1000,
        Math.round(depth * 100) / 100,
        0.01001,
        given.edge === 1 ? SCREEN : undefined,
        given.spp_kPa!,
        given.rpm!,
        given.torque!,
        SLOWEST_M_PER_MIN,
      );
    }
    before = to;
    expect(to.s - since / 1000 >= LASTS_S ? `${since / 1000}` : '-', `row ${line}`).toBe(wanted.since);
  }
}

describe('stall', () => {
  it('is seen while it rolls in place, dated from the last advance, and over when it goes on', () =>
    play(`
      t_s  depth_m  spp_kPa  rpm  torque  edge | since
        0  1000.00     9000   30       6     1 | -
       60  1001.20     9000   30       6     1 | -
       90  1001.20     9000   30       7     1 | 60
      120  1001.20     9000   30       9     1 | 60
      130  1001.40     9000   30       6     1 | -
    `));

  it('is none while the tool creeps faster than the plan calls a stall', () =>
    play(`
      t_s  depth_m  spp_kPa  rpm  torque  edge | since
        0  1000.00     9000   30       6     1 | -
       60  1001.20     9000   30       6     1 | -
      180  1001.44     9000   30       6     1 | -      // 0.12 m/min
    `));

  it('is one while the tool creeps more slowly than that', () =>
    play(`
      t_s  depth_m  spp_kPa  rpm  torque  edge | since
        0  1000.00     9000   30       6     1 | -
       60  1001.20     9000   30       6     1 | -
      660  1001.40     9000   30       6     1 | 60     // 0.02 m/min
    `));

  it('is none with the pumps off, nor with rotation stopped and torque gone', () =>
    play(`
      t_s  depth_m  spp_kPa  rpm  torque  edge | since
        0  1000.00     9000   30       6     1 | -
       60  1001.20     9000   30       6     1 | -
      120  1001.20        0    0       0     1 | -
      180  1001.20     9000    0     0.5     1 | -
    `));

  it('is one with rotation stopped under torque: the tool is held', () =>
    play(`
      t_s  depth_m  spp_kPa  rpm  torque  edge | since
        0  1000.00     9000   30       6     1 | -
       60  1001.20     9000   30       6     1 | -
      120  1001.20     9000    0       8     1 | 60
    `));

  it('is one though the stall has pulled the pressure down by a little', () =>
    play(`
      t_s  depth_m  spp_kPa  rpm  torque  edge | since
        0  1000.00     7600   30       6     1 | -
       60  1001.20     7600   30       6     1 | -
      120  1001.20     6900   30       8     1 | 60
      180  1001.20     6600   30       8     1 | -
    `));

  it('is none where there is nothing to expand', () =>
    play(`
      t_s  depth_m  spp_kPa  rpm  torque  edge | since
        0  1000.00     9000   30       6     0 | -
       60  1001.20     9000   30       6     0 | -
      180  1001.20     9000   30       6     0 | -
    `));

  it('is over as soon as the string is picked up', () =>
    play(`
      t_s  depth_m  spp_kPa  rpm  torque  edge | since
        0  1000.00     9000   30       6     1 | -
       60  1001.20     9000   30       6     1 | -
      100  1001.20     9000   30       6     1 | 60
      103  1001.00     9000   30       6     1 | -
    `));

  it('counts from when the rolling began where the string stood before', () =>
    play(`
      t_s  depth_m  spp_kPa  rpm  torque  edge | since
        0  1000.00     9000   30       6     1 | -
       60  1001.20     9000   30       6     1 | -
      120  1001.20        0    0       0     1 | -
      170  1001.20     9000   30       6     1 | 121
    `));
});
