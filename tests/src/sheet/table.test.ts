import fc from 'fast-check';
import { expect, test } from 'vitest';
import { sheetsOf, startFlow } from '../../../src/sheet/flow.ts';
import type { TextMark } from '../../../src/sheet/sheet.ts';
import { table, tableHeights } from '../../../src/sheet/table.ts';
import { layoutFaults, PLAIN_PEN } from '../../support/sheetChecks.ts';

const COLUMNS = [{ head: 'Name' }, { head: 'Depth', unit: 'm', align: 'right' }, { head: 'What was seen' }] as const;

const texts = (sheet: { marks: readonly { kind: string }[] }): TextMark[] =>
  sheet.marks.filter((mark) => mark.kind === 'text') as unknown as TextMark[];

test('goes on over sheets: its head on each, each row once and in order, nothing off the paper or on top of another', () => {
  const cell = fc.string({ unit: 'grapheme-ascii', maxLength: 90 });
  const row = fc.tuple(fc.string({ unit: 'grapheme-ascii', maxLength: 64 }), fc.integer({ min: 0, max: 99_999 }), cell);
  fc.assert(
    fc.property(fc.array(row, { minLength: 1, maxLength: 150 }), (rows) => {
      const flow = startFlow(PLAIN_PEN, 'part', 'key');
      table(flow, { columns: COLUMNS, rows: rows.map(([a, b, c], i) => [`${i}#${a}`, String(b), c]), none: '' });
      const sheets = sheetsOf(flow);
      const numbers: number[] = [];
      for (const sheet of sheets) {
        expect(layoutFaults(sheet)).toEqual([]);
        expect(texts(sheet).filter(({ text }) => text === 'Depth')).toHaveLength(1);
        for (const { text } of texts(sheet)) {
          const found = /^(\d+)#/.exec(text);
          if (found && Number(found[1]) === numbers.length) numbers.push(Number(found[1]));
        }
      }
      expect(numbers).toEqual(rows.map((_, i) => i));
    }),
    { numRuns: 30 },
  );
});

test('a row that is longer than a sheet goes on over its end, word for word', () => {
  const words = Array.from({ length: 3000 }, (_, i) => `w${i}`);
  const flow = startFlow(PLAIN_PEN, 'part', 'key');
  table(flow, {
    columns: COLUMNS,
    rows: [
      ['a', '1', words.join(' ')],
      ['b', '2', 'after'],
    ],
    none: '',
  });
  const sheets = sheetsOf(flow);
  expect(sheets.length).toBeGreaterThan(1);
  expect(sheets.flatMap(layoutFaults)).toEqual([]);
  const said = sheets.flatMap(texts).flatMap(({ text }) => text.split(' '));
  expect(said.filter((word) => /^w\d+$/.test(word))).toEqual(words);
});

test('numbers end under one another', () => {
  const flow = startFlow(PLAIN_PEN, 'part', 'key');
  table(flow, {
    columns: COLUMNS,
    rows: [
      ['a', '7', ''],
      ['b', '12 345.00', ''],
    ],
    none: '',
  });
  const [sheet] = sheetsOf(flow);
  const ends = texts(sheet!).filter(({ text }) => text === '7' || text === '12 345.00');
  expect(ends.map(({ anchor }) => anchor)).toEqual(['end', 'end']);
  expect(ends[0]!.x).toBe(ends[1]!.x);
});

test('what it needs is what it takes', () => {
  const flow = startFlow(PLAIN_PEN, 'part', 'key');
  const all = {
    columns: COLUMNS,
    rows: [
      ['a', '1', 'word '.repeat(60)],
      ['b', '2', 'short'],
    ],
    none: '',
  };
  const { head, rows, end } = tableHeights(PLAIN_PEN, all);
  const from = flow.y;
  table(flow, all);
  expect(flow.y - from).toBeCloseTo(head + rows[0]! + rows[1]! + end, 6);
});

test('without a row it says so', () => {
  const flow = startFlow(PLAIN_PEN, 'part', 'key');
  table(flow, { columns: COLUMNS, rows: [], none: 'Nothing was seen.' });
  expect(texts(sheetsOf(flow)[0]!).map(({ text }) => text)).toContain('Nothing was seen.');
});
