import fc from 'fast-check';
import { expect, test } from 'vitest';
import { hatchLines } from '../../../src/sheet/hatchLines.ts';
import { PATTERNS } from '../../../src/sheet/sheet.ts';

test('every line of a pattern lies in its box, and a box of some size has some', () => {
  const place = fc.double({ min: -500, max: 900, noNaN: true });
  const size = fc.double({ min: 0, max: 400, noNaN: true });
  fc.assert(
    fc.property(fc.constantFrom(...PATTERNS), place, place, size, size, (pattern, x, y, width, height) => {
      const lines = hatchLines({ x, y, width, height }, pattern);
      for (const [x1, y1, x2, y2] of lines) {
        for (const px of [x1!, x2!]) expect(px >= x - 1e-6 && px <= x + width + 1e-6).toBe(true);
        for (const py of [y1!, y2!]) expect(py >= y - 1e-6 && py <= y + height + 1e-6).toBe(true);
      }
      if (pattern === 'solid') expect(lines).toEqual([]);
      else if (width > 10 && height > 10) expect(lines.length).toBeGreaterThan(1);
    }),
  );
});

test('patterns are told apart by their lines', () => {
  const drawn = PATTERNS.map((pattern) => JSON.stringify(hatchLines({ x: 0, y: 0, width: 30, height: 20 }, pattern)));
  expect(new Set(drawn).size).toBe(PATTERNS.length);
});
