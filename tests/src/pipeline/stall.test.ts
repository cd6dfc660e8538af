/** A stall: rolling and not getting deeper. Standing still with the driller let off is none. */
import { describe, expect, it } from 'vitest';
import { advanceStall, createStall } from '../../../src/pipeline/stall.ts';
import type { Recipe } from '../../../src/plan/job.ts';
import { readTable } from '../table.ts';

const SCREEN: Recipe = {
  kind: 'screen',
  pressureAt: 'standpipe',
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

  it('is none where the pumps are run down over a tool that stands: what follows the rolling does not count', () =>
    play(`
      t_s  depth_m  spp_kPa  rpm  torque  edge | since
        0  1000.00     9000   30       6     1 | -
       60  1001.20     9000   30       6     1 | -
       88  1001.20     6900   30       6     1 | -
       91  1001.20     6500   30       6     1 | -
      120  1001.20     3000   30       6     1 | -
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

describe('its form', () => {
  /** Rolls at 30 rpm for a minute, then stands with `rpm` and `torque`; the form that is seen 40 s later. */
  function formOf(rpm: number, torque: number, odd: (s: number) => boolean = () => false): string {
    const state = createStall();
    for (let s = 0; s <= 100; s += 1) {
      const stands = s > 60;
      const depth = Math.round(100 * (1000 + 0.02 * Math.min(s, 60))) / 100;
      const rotation = stands ? (odd(s) ? 0 : rpm) : 30;
      advanceStall(state, s * 1000, depth, 0.01001, SCREEN, 9000, rotation, stands ? torque : 6, SLOWEST_M_PER_MIN);
    }
    return state.form;
  }
  it.each([
    // rotation, torque | form
    [0, 11, 'rotational'],
    [4, 11, 'rotational'],
    [5.9, 11, 'rotational'],
    [7, 11, 'axial'],
    [30, 8, 'axial'],
    [24, 11, 'axial'],
    [0, 0.5, ''],
    [Number.NaN, 8, ''],
  ])('turning at %d of 30 rpm under %d kN·m: "%s"', (rpm, torque, form) => {
    expect(formOf(rpm, torque)).toBe(form);
  });
  it('is not changed by one odd reading of the rotation', () => {
    expect(formOf(30, 8, (s) => s === 80)).toBe('axial');
  });
});
