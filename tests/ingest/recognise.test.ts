import { expect, test } from 'vitest';
import { recognise } from '../../ingest/recognise.ts';
import { latin1 } from './decodeAll.ts';
import { depth } from './readStream.ts';

test.each([
  ['packets', depth('120000', 1) + depth('120001', 2), 'wits0'],
  ['noise first, LF only', `modem\n${depth('120000', 1).replaceAll('\r', '')}`, 'wits0'],
  ['one packet without an end', '&&\r\n01081\r\n', 'wits0'],
  ['a table', 'time,depth\n0,1\n1,2\n', null],
  ['a program', `if (a &&\n b) {}\n${'x = 1;\n'.repeat(50)} wow!!`, null],
  ['nothing', '', null],
])('%s', (_, text, format) => {
  expect(recognise(latin1(text))).toBe(format);
});
