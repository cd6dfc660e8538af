import { expect, test } from 'vitest';
import { recognise } from '../../ingest/recognise.ts';
import { latin1 } from './decodeAll.ts';
import { depth } from './readStream.ts';

test.each([
  ['packets', depth('120000', 1) + depth('120001', 2), 'wits0'],
  ['noise first, LF only', `modem\n${depth('120000', 1).replaceAll('\r', '')}`, 'wits0'],
  ['one packet without an end', '&&\r\n01081\r\n', 'wits0'],
  ['a table without times of ours', 'time,depth\n0,1\n1,2\n', null],
  ['a table with a time and a channel', 'Time;SPP (kPa)\n03/04/2031;1\n', 'csv'],
  ['a table with times', 'Well,A 1\nTime,Gas\n2031-03-04T12:00:00Z,1\n', 'csv'],
  ['LAS', '# remark\n~Version\nVERS. 2.0 :\n', 'las'],
  ['WITSML', '<?xml version="1.0"?>\n<!-- a -->\n<logs xmlns="x">', 'witsml'],
  ['WITSML with a prefix and a document type', '<!DOCTYPE a [<!ENTITY b "c">]><w:logs>', 'witsml'],
  ['another XML', '<?xml version="1.0"?><wells/>', null],
  ['JSON', '{"time": 1, "depth": 2, "name": "a"}\n', null],
  ['prose', 'In time, one sees that, after all,\nnothing, or little, stays.\n', null],
  ['a program', `if (a &&\n b) {}\n${'x = 1;\n'.repeat(50)} wow!!`, null],
  ['nothing', '', null],
])('%s', (_, text, format) => {
  expect(recognise(latin1(text))).toBe(format);
});
