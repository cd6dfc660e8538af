import { describe, expect, it } from 'vitest';
import { PALETTES } from '../../web/palette.ts';
import { CURVE_COLOURS, MARK_COLOURS } from '../../web/traces/traceColours.ts';
import { TRACKS } from '../../web/traces/tracks.ts';

/** Relative luminance and contrast ratio, WCAG 2.2, definitions. */
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const share = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
function contrast(a: string, b: string): number {
  const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y) as [number, number];
  return (high + 0.05) / (low + 0.05);
}

describe('colours of the traces', () => {
  for (const theme of ['light', 'dark'] as const) {
    const palette = PALETTES[theme];
    it(`${theme}: every curve and mark stands out from the ground by 3 : 1 (WCAG 2.2, 1.4.11)`, () => {
      for (const name of [...CURVE_COLOURS, ...Object.values(MARK_COLOURS)]) {
        expect(contrast(palette[name], palette.well), name).toBeGreaterThanOrEqual(3);
      }
    });
  }

  it('no track tells more than two curves apart, and all have names of their own', () => {
    for (const track of TRACKS) expect(track.curves.length).toBeLessThanOrEqual(CURVE_COLOURS.length);
    const columns = TRACKS.flatMap((track) => track.curves.map((curve) => curve.column));
    expect(new Set(columns).size).toBe(columns.length);
  });
});
