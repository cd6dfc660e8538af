import { expect, test } from 'vitest';
import type { Recipe } from '../../src/plan/job.ts';
import type { Pass } from '../../src/replay/passes.ts';
import { windowOf } from '../../web/beside/depthRange.ts';
import { DEPTH_TRACKS, extentOf, linePath } from '../../web/beside/depthTracks.ts';

const track = (column: string) => DEPTH_TRACKS.find((one) => one.column === column)!;
const RECIPE = {
  pressureAt: 'standpipe',
  pressureMinKpa: 7500,
  pressureMaxKpa: 11_000,
  rpmMin: 15,
  torqueMaxKnm: Infinity,
  feedMaxMPerMin: 2,
} as Recipe;

const pass = (column: string, depth: number[], values: number[]): Pass =>
  ({ depth: new Float32Array(depth), [column]: new Float32Array(values) }) as unknown as Pass;

test.each<[string, number[], number, number]>([
  // column | readings | least | most, by hand
  ['pressure', [9000, 9500], 0, 11_000],
  ['pressure', [12_000, Number.NaN], 0, 12_000],
  ['rotation', [], 0, 15],
  ['torque', [8, 9], 0, 9],
  ['feed', [-3, 1], 0, 2],
  ['setDown', [-20, 50], -20, 50],
])('from zero to the greatest of readings and bounds: %s of %j', (column, values, least, most) => {
  expect(extentOf(track(column), [pass(column, values, values)], [RECIPE])).toEqual([least, most]);
});

test('a window of the pressure at the tool is none of the standpipe', () => {
  expect(track('pressure').window({ ...RECIPE, pressureAt: 'tool' })).toEqual([-Infinity, Infinity]);
  expect(track('pressure').window(RECIPE)).toEqual([7500, 11_000]);
});

test('a line goes down the depth, and breaks where there is no reading', () => {
  const path = linePath(
    pass('torque', [10, 11, 12, 13, 14], [1, 2, Number.NaN, 4, 5]),
    'torque',
    (value) => value * 10,
    (depth) => depth - 10,
  );
  expect(path).toBe('M10.0 0.0L20.0 1.0M40.0 3.0L50.0 4.0');
});

test.each<[string, readonly [string, string] | null, number, number]>([
  ['all of it', null, 100, 130],
  ['one joint', ['b', 'b'], 110, 120],
  ['from one to another', ['a', 'b'], 100, 120],
  ['the other way round', ['c', 'b'], 110, 130],
  ['one that is no longer there', ['gone', 'b'], 100, 130],
])('a stretch of the liner: %s', (_what, range, from, to) => {
  const joints = ['a', 'b', 'c'].map((name, i) => ({ name, top: 100 + 10 * i, bottom: 110 + 10 * i }));
  expect(windowOf({ joints } as unknown as Parameters<typeof windowOf>[0], range)).toEqual({ from, to });
});
