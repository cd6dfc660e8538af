import { expect, test } from 'vitest';
import { sheetsOf, startFlow } from '../../../src/sheet/flow.ts';
import { withFurniture } from '../../../src/sheet/furniture.ts';
import type { TextMark } from '../../../src/sheet/sheet.ts';
import { layoutFaults, PLAIN_PEN } from '../../support/sheetChecks.ts';

test('each sheet is numbered, and a long name takes nothing from the number', () => {
  const sheets = ['a', 'b', 'c'].flatMap((key) => sheetsOf(startFlow(PLAIN_PEN, key, key)));
  const long = 'a well with a very long name '.repeat(12);
  const bound = withFurniture(PLAIN_PEN, sheets, { of: long, what: 'Report', foot: long, caution: long });
  bound.forEach((sheet, i) => {
    expect(layoutFaults(sheet)).toEqual([]);
    const said = sheet.marks.filter((mark): mark is TextMark => mark.kind === 'text').map(({ text }) => text);
    expect(said).toContain(`Page ${i + 1} of 3`);
  });
});
