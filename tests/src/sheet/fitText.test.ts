import fc from 'fast-check';
import { expect, test } from 'vitest';
import { cutText, wrapText } from '../../../src/sheet/fitText.ts';
import { printable } from '../../../src/sheet/pen.ts';
import { measureAbout } from '../../support/sheetChecks.ts';

const words = fc
  .array(fc.string({ unit: 'grapheme', minLength: 0, maxLength: 30 }), { maxLength: 12 })
  .map((all) => all.join(' '));
/** No letter is wider than this at size 8. */
const width = fc.double({ min: 5, max: 200, noNaN: true });
const squeezed = (text: string): string => text.replace(/ /g, '');

test('every line fits, and the lines together are the text', () => {
  fc.assert(
    fc.property(words, width, (text, room) => {
      const lines = wrapText(measureAbout, text, 8, false, room);
      for (const line of lines) expect(measureAbout(line, 8, false)).toBeLessThanOrEqual(room);
      expect(squeezed(lines.join(''))).toBe(squeezed(printable(text)));
    }),
  );
});

test('with no more lines than it may have, what is left out is said by an ellipsis', () => {
  fc.assert(
    fc.property(words, width, fc.integer({ min: 1, max: 4 }), (text, room, most) => {
      const all = wrapText(measureAbout, text, 8, false, room);
      const lines = wrapText(measureAbout, text, 8, false, room, most);
      expect(lines.length).toBeLessThanOrEqual(most);
      if (all.length <= most) expect(lines).toEqual(all);
      else expect(lines.at(-1)).toMatch(/…$/);
    }),
  );
});

test('cut to the most that fits', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'grapheme-ascii', maxLength: 40 }), width, (text, room) => {
      const cut = cutText(measureAbout, text, 8, true, room);
      const shown = printable(text);
      if (measureAbout(shown, 8, true) <= room) expect(cut).toBe(shown);
      else {
        expect(cut.endsWith('…')).toBe(true);
        expect(shown.startsWith(cut.slice(0, -1))).toBe(true);
        if (cut !== '…') expect(measureAbout(cut, 8, true)).toBeLessThanOrEqual(room);
      }
    }),
  );
});

test('what would not be seen, or would turn the writing round, shows', () => {
  expect(printable('a\u202eb\u0000c\u200bd\tf\ng')).toBe('a\ufffdb\ufffdc\ufffdd f g');
  expect(printable('σ ± 1 · m³ − 2')).toBe('σ ± 1 · m³ − 2');
});
