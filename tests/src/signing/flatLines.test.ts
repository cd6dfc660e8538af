import * as fc from 'fast-check';
import { expect, it } from 'vitest';
import { flatLines } from '../../../src/signing/flatLines.ts';

const plain = fc.jsonValue({ depthSize: 'small' }).map((value) => JSON.parse(JSON.stringify(value)) as unknown);

/** Equal whatever the order of keys. */
function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value)
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([key, each]) => [key, sorted(each)]),
  );
}

function turned(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(turned);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value)
      .reverse()
      .map(([key, each]) => [key, turned(each)]),
  );
}

it('a line for each value, names as they are, text quoted', () => {
  expect(flatLines({ b: [1, { c: 'x\ny' }], a: {}, 'odd key': null, e: [], gone: undefined }, 'top')).toEqual([
    'top.a = {}',
    'top.b[0] = 1',
    'top.b[1].c = "x\\ny"',
    'top.e = []',
    'top."odd key" = null',
  ]);
});

it('the order of keys makes no difference', () => {
  fc.assert(
    fc.property(plain, (value) => {
      expect(flatLines(turned(value))).toEqual(flatLines(value));
    }),
  );
});

it('values that differ never make the same lines, and no value makes two lines of one', () => {
  fc.assert(
    fc.property(plain, plain, (a, b) => {
      const same = JSON.stringify(sorted(a)) === JSON.stringify(sorted(b));
      expect(flatLines(a).join('\n') === flatLines(b).join('\n')).toBe(same);
      for (const line of flatLines(a)) expect(line).not.toMatch(/[\n\r]/);
    }),
  );
});

it('a value that is the whole is not one under a key', () => {
  for (const value of [1, null, 'x', [], {}]) {
    for (const key of ['value', 'whole', '(whole)', '']) {
      expect(flatLines({ [key]: value })).not.toEqual(flatLines(value));
    }
  }
});

it('one leaf that is another is one line that is another', () => {
  const plan = { recipes: { screen: { pressure: { min: 7500, max: 11000 } } }, tools: [{ name: 'upper' }] };
  const other = structuredClone(plan);
  other.recipes.screen.pressure.max = 11_001;
  const before = flatLines(plan);
  const after = flatLines(other);
  expect(after.filter((line, i) => line !== before[i])).toEqual(['recipes.screen.pressure.max = 11001']);
});
