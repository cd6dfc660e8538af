import fc from 'fast-check';
import { SaxesParser } from 'saxes';
import { expect, test } from 'vitest';
import { box, line, text } from '../../../src/sheet/pen.ts';
import type { Mark, Sheet } from '../../../src/sheet/sheet.ts';
import { svgSheet } from '../../../src/sheet/svgSheet.ts';
import { PLAIN_PEN } from '../../support/sheetChecks.ts';

const sheetOf = (title: string, marks: readonly Mark[]): Sheet => ({
  key: 'k',
  part: 'p',
  title,
  width: 100,
  height: 50,
  marks,
});

interface Found {
  readonly elements: readonly { readonly name: string; readonly attributes: Readonly<Record<string, string>> }[];
  readonly said: string;
}

/** As an XML reader of another hand understands it; it throws for what is no XML. */
function parsed(svg: string): Found {
  const elements: { name: string; attributes: Record<string, string> }[] = [];
  let said = '';
  const parser = new SaxesParser();
  parser.on('error', (error) => {
    throw error;
  });
  parser.on('opentag', ({ name, attributes }) =>
    elements.push({ name, attributes: attributes as Record<string, string> }),
  );
  parser.on('text', (words) => {
    said += words;
  });
  parser.write(svg).close();
  return { elements, said };
}

const HOSTILE = [
  '<script>alert(1)</script>',
  '"><img src=x onerror=alert(1)>',
  "' onload='alert(1)",
  '</text></svg><svg onload=alert(1)>',
  ']]><![CDATA[x',
  '<!DOCTYPE x [<!ENTITY a "b">]>&a;',
  'javascript:alert(1)',
  '&lt;script&gt;',
];

test.each(HOSTILE)('%s is only text', (name) => {
  const marks = [text(PLAIN_PEN, 1, 1, name, { href: `#sheet=${name}` }), text(PLAIN_PEN, 1, 9, name, { href: name })];
  const { elements, said } = parsed(svgSheet(sheetOf(name, marks)));
  expect(elements.map((one) => one.name)).toEqual(['svg', 'title', 'a', 'text', 'text']);
  // The title, and both texts.
  expect(said.split(name).length - 1).toBe(3);
  for (const { attributes } of elements) {
    for (const attribute of Object.keys(attributes)) expect(attribute).not.toMatch(/^on|^style$|^src$/i);
    if (attributes.href) expect(attributes.href.startsWith('#')).toBe(true);
  }
});

/** Any UTF-16 code unit by itself: controls and halves of pairs too. */
const letter = fc.nat(0xffff).map((code) => String.fromCharCode(code));

test('whatever anybody writes, it is XML with the elements that were drawn', () => {
  fc.assert(
    fc.property(fc.string({ unit: letter, maxLength: 60 }), (name) => {
      const { elements } = parsed(svgSheet(sheetOf(name, [text(PLAIN_PEN, 1, 1, `x${name}`)])));
      expect(elements.map((one) => one.name)).toEqual(['svg', 'title', 'text']);
    }),
  );
});

test('tones are class names, patterns are lines, a text that was measured fits whatever the font', () => {
  const svg = svgSheet(
    sheetOf('t', [
      box(1, 1, 20, 20, ['hatch', 'bad'], ['ink', 1]),
      line([0, 0, 5, 5], 'soft', 1, [2, 1]),
      text(PLAIN_PEN, 3, 3, 'abc', { tone: 'good', turned: true }),
    ]),
  );
  const { elements } = parsed(svg);
  const classes = elements.map(({ attributes }) => attributes.class).filter(Boolean);
  expect(classes).toEqual(['sheet', 'line-bad', 'line-ink', 'line-soft', 'fill-good']);
  expect(elements.at(-1)!.attributes).toMatchObject({ textLength: '12.75', transform: 'translate(3 3) rotate(-90)' });
  expect(svg).not.toContain('style=');
});
