import fc from 'fast-check';
import { expect, test } from 'vitest';
import { parseJson } from '../../server/plan/parseJson.ts';
import { Fault } from '../../src/fault.ts';

function lineOf(text: string): string {
  try {
    parseJson('f', text);
  } catch (error) {
    if (error instanceof Fault) return error.message;
    throw error;
  }
  throw new Error('parsed');
}

/** RFC 8259: a control character stands nowhere in JSON, neither inside a string nor outside. */
test('a fault is placed where the first character stands that JSON cannot have', () => {
  const text = fc.jsonValue({ maxDepth: 4 }).map((value) => JSON.stringify(value, null, 1));
  fc.assert(
    fc.property(text, fc.nat(), (json, nth) => {
      const at = nth % (json.length + 1);
      const before = json.slice(0, at).split('\n');
      const place = `line ${before.length}, column ${before.at(-1)!.length + 1}`;
      expect(lineOf(`${json.slice(0, at)}\u0001${json.slice(at)}`)).toBe(`f: ${place}: found "\\u0001", expected JSON`);
    }),
  );
});

test('a text that is cut short is at fault at its end', () => {
  for (const text of ['{', '[1,', '{"a": ', '"abc', '{"a": [1, 2', 'tru']) {
    expect(lineOf(text)).toBe(`f: line 1, column ${text.length + 1}: found the end of the file, expected JSON`);
  }
});
