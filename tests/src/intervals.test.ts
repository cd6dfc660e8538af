/** The interval arithmetic against a brute-force model: a row of unit cells, each in the set or not. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  addInterval,
  clip,
  complement,
  contains,
  firstOutside,
  type IntervalSet,
  longest,
  measure,
  removeInterval,
  subtract,
  toSpans,
  union,
} from '../../src/intervals.ts';

const CELLS = 40;
const bound = fc.integer({ min: 0, max: CELLS });
const span = fc.tuple(bound, bound);
const step = fc.record({ add: fc.boolean(), span });
const steps = fc.array(step, { maxLength: 25 });
type Step = { add: boolean; span: [number, number] };

function grid(list: readonly Step[]): boolean[] {
  const cells = new Array<boolean>(CELLS).fill(false);
  for (const {
    add,
    span: [from, to],
  } of list)
    for (let i = from; i < to; i += 1) cells[i] = add;
  return cells;
}

function build(list: readonly Step[]): IntervalSet {
  const set: IntervalSet = [];
  for (const {
    add,
    span: [from, to],
  } of list)
    (add ? addInterval : removeInterval)(set, from, to);
  return set;
}

/** The one form in which a row of cells may be written. */
function canonical(cells: readonly boolean[]): IntervalSet {
  const out: IntervalSet = [];
  for (let i = 0; i < cells.length; i += 1) {
    if (cells[i] && !cells[i - 1]) out.push(i);
    if (cells[i] && !cells[i + 1]) out.push(i + 1);
  }
  return out;
}

const inside = (from: number, to: number) => (held: boolean, i: number) => held && i >= from && i < to;

describe('interval sets against a row of cells', () => {
  it('adds and removes, and always keeps the one sorted form without overlap or touch', () => {
    fc.assert(
      fc.property(steps, (list) => {
        expect(build(list)).toEqual(canonical(grid(list)));
      }),
      { numRuns: 1000 },
    );
  });

  it('unites, subtracts, complements and clips, and leaves its operands alone', () => {
    fc.assert(
      fc.property(steps, steps, span, (listA, listB, [from, to]) => {
        const [a, b] = [build(listA), build(listB)];
        const [cellsA, cellsB] = [grid(listA), grid(listB)];
        expect(union(a, b)).toEqual(canonical(cellsA.map((held, i) => held || cellsB[i]!)));
        expect(subtract(a, b)).toEqual(canonical(cellsA.map((held, i) => held && !cellsB[i]!)));
        expect(complement(a, from, to)).toEqual(canonical(cellsA.map((held, i) => inside(from, to)(!held, i))));
        expect(clip(a, from, to)).toEqual(canonical(cellsA.map(inside(from, to))));
        expect(a).toEqual(build(listA));
        expect(b).toEqual(build(listB));
      }),
      { numRuns: 500 },
    );
  });

  it('measures, and finds the longest interval', () => {
    fc.assert(
      fc.property(steps, (list) => {
        const cells = grid(list);
        const runs = cells
          .map((held) => (held ? '#' : ' '))
          .join('')
          .split(/ +/);
        expect(measure(build(list))).toBe(cells.filter(Boolean).length);
        expect(longest(build(list))).toBe(Math.max(...runs.map((run) => run.length)));
      }),
      { numRuns: 500 },
    );
  });

  it('tells what it holds, half-open, also between the bounds', () => {
    fc.assert(
      fc.property(steps, fc.integer({ min: -2, max: 2 * CELLS + 2 }), (list, halves) => {
        const x = halves / 2;
        expect(contains(build(list), x)).toBe(grid(list)[Math.floor(x)] ?? false);
      }),
      { numRuns: 1000 },
    );
  });

  it('finds the first point at or after x that is outside the set and inside the window', () => {
    fc.assert(
      fc.property(steps, fc.integer({ min: -2, max: 2 * CELLS + 2 }), span, (list, halves, [from, to]) => {
        const x = halves / 2;
        const cells = grid(list);
        // On a half-open grid of whole bounds the first point outside is x itself or a whole number.
        const candidates = [Math.max(x, from)];
        for (let i = Math.ceil(Math.max(x, from)); i <= CELLS; i += 1) candidates.push(i);
        const first = candidates.find((at) => at < to && !(cells[Math.floor(at)] ?? false));
        expect(firstOutside(build(list), x, from, to)).toBe(first ?? Number.NaN);
      }),
      { numRuns: 1000 },
    );
  });

  it('gives the same set whatever the order of what is added (interval union is order-free and idempotent)', () => {
    fc.assert(
      fc.property(fc.array(span, { maxLength: 12 }), (spans) => {
        const forwards = build(spans.map((one) => ({ add: true, span: one })));
        const backwards = build([...spans].reverse().map((one) => ({ add: true, span: one })));
        expect(backwards).toEqual(forwards);
        expect(union(forwards, forwards)).toEqual(forwards);
      }),
    );
  });
});

describe('interval sets, worked by hand', () => {
  it('joins what touches and not what lies a hair apart', () => {
    const set: IntervalSet = [];
    addInterval(set, 2453.7, 2455.7);
    addInterval(set, 2455.7, 2456);
    addInterval(set, 2456.000001, 2457);
    expect(toSpans(set)).toEqual([
      [2453.7, 2456],
      [2456.000001, 2457],
    ]);
  });

  it('does nothing for an empty, a backward or an unknown interval', () => {
    const set: IntervalSet = [1, 2];
    for (const [from, to] of [
      [1.5, 1.5],
      [5, 4],
      [Number.NaN, 9],
      [0, Number.NaN],
    ] as const) {
      addInterval(set, from, to);
      removeInterval(set, from, to);
    }
    expect(set).toEqual([1, 2]);
  });

  it('does not hold its end', () => {
    expect(contains([1, 2], 1)).toBe(true);
    expect(contains([1, 2], 2)).toBe(false);
  });
});
