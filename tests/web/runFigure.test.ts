import { expect, test } from 'vitest';
import type { PhaseName } from '../../src/phases.ts';
import { depthExtent, jointStretches } from '../../web/replay/runFigure.ts';

const phases = (...list: [PhaseName, string | null, number, number][]) => ({
  phases: list.map(([phase, joint, fromMs, toMs]) => ({ phase, joint, fromMs, toMs })),
});

test('a joint is worked on from its first rolling to its last in a row, whatever lies between', () => {
  const of = phases(
    ['running in', 'S1', 0, 10],
    ['expanding screen', 'S1', 10, 20],
    ['making connection', 'S1', 20, 30],
    ['stalled', 'S1', 30, 40],
    ['expanding screen', 'S1', 40, 50],
    ['crossing connection', 'S2', 50, 60],
    ['expanding screen', 'S2', 60, 70],
    ['picking up', 'S1', 70, 80],
    ['expanding screen', 'S1', 80, 90],
    ['circulating', null, 90, 99],
  );
  expect(jointStretches(of)).toEqual([
    { joint: 'S1', fromMs: 10, toMs: 50 },
    { joint: 'S2', fromMs: 60, toMs: 70 },
    { joint: 'S1', fromMs: 80, toMs: 90 },
  ]);
});

test('the least and the greatest depth; not known where there is none', () => {
  expect(depthExtent({ least: new Float32Array([5, 3, 4]), greatest: new Float32Array([6, 4, 9]) })).toEqual([3, 9]);
  expect(depthExtent({ least: new Float32Array(0), greatest: new Float32Array(0) })).toEqual([Number.NaN, Number.NaN]);
});
