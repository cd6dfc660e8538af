import { describe, expect, test } from 'vitest';
import { COLOUR_NAMES, CONTRASTS, PALETTES, TOLD_APART } from '../../web/palette.ts';
import { ciede2000, contrast, difference, EYES, linear, seen } from './colourMath.ts';

/** Smallest difference between colours that mean different things, CIEDE2000, for every eye. */
const LEAST_DIFFERENCE = 12;

describe('the measures themselves', () => {
  test('black on white is 21:1, and #767676 on white just passes 4.5:1 (WCAG 2.2)', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 6);
    expect(contrast('#767676', '#ffffff')).toBeCloseTo(4.54, 2);
  });

  test.each([
    [[50, 2.6772, -79.7751], [50, 0, -82.7485], 2.0425],
    [[50, 2.5, 0], [73, 25, -18], 27.1492],
    [[60.2574, -34.0099, 36.2677], [60.4626, -34.1751, 39.4387], 1.2644],
    [[2.0776, 0.0795, -1.135], [0.9033, -0.0636, -0.5514], 0.9082],
  ] as const)('CIEDE2000 of %j and %j is %d (test data of Sharma, Wu, Dalal 2005)', (one, two, expected) => {
    expect(ciede2000(one, two)).toBeCloseTo(expected, 4);
  });
});

describe.each(['light', 'dark'] as const)('the %s palette', (name) => {
  const palette = PALETTES[name];

  test.each(CONTRASTS)('%s on %s has a contrast of at least %d', (read, ground, least) => {
    expect(contrast(palette[read], palette[ground])).toBeGreaterThanOrEqual(least);
  });

  const pairs = TOLD_APART.flatMap((one, i) => TOLD_APART.slice(i + 1).map((two) => [one, two] as const));
  test.each(pairs)('%s and %s are told apart by every eye', (one, two) => {
    for (const eye of Object.values(EYES)) {
      const apart = difference(seen(linear(palette[one]), eye), seen(linear(palette[two]), eye));
      expect(apart).toBeGreaterThanOrEqual(LEAST_DIFFERENCE);
    }
  });

  test('a grey base: what is not a sign has hardly any hue', () => {
    for (const base of [
      'page',
      'panel',
      'well',
      'line',
      'edge',
      'ink',
      'inkSoft',
      'solid',
      'steel',
      'steelSoft',
    ] as const) {
      const channels = [1, 3, 5].map((at) => Number.parseInt(palette[base].slice(at, at + 2), 16));
      expect(Math.max(...channels) - Math.min(...channels)).toBeLessThanOrEqual(24);
    }
  });
});

test('every colour has a name and a value of six digits in both palettes', () => {
  for (const palette of Object.values(PALETTES)) {
    expect(Object.keys(palette).sort()).toEqual([...COLOUR_NAMES].sort());
    for (const value of Object.values(palette)) expect(value).toMatch(/^#[0-9a-f]{6}$/);
  }
});
