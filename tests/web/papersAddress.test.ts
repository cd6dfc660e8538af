import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { traceLink } from '../../src/report/facts.ts';
import { sheetLink } from '../../src/sheet/sheet.ts';
import { momentIn, papersHash, papersIn } from '../../web/papers/papersAddress.ts';
import { recorded } from '../../web/recorded.ts';

/** Text that an address can hold: whole characters. */
const name = fc.string({ unit: 'grapheme', minLength: 1, maxLength: 40 });

describe('an address among the papers', () => {
  test('is read back as it was written, of the live run and of a recorded one', () => {
    fc.assert(
      fc.property(name, fc.option(name, { nil: '' }), fc.option(name), (part, of, id) => {
        recorded.value = id === null ? null : { id, name: 'a trip' };
        expect(papersIn(papersHash({ part, of }))).toEqual({ part, of });
      }),
    );
    recorded.value = null;
  });

  test('a sheet that a printed page names is that of its joint', () => {
    fc.assert(
      fc.property(name, (joint) => {
        expect(papersIn(sheetLink(`joint/${joint}`))).toEqual({ part: 'joints', of: joint });
      }),
    );
    expect(papersIn(sheetLink('limits'))).toBeNull();
  });

  test.each(['', '#', '#check', '#library', '#run=1', '#at=2031-05-12T04:00:00Z'])('"%s" is none', (hash) => {
    expect(papersIn(hash)).toBeNull();
  });
});

describe('an address of a moment', () => {
  test('is what sheets link to', () => {
    const instant = fc.integer({ min: 0, max: 4_000_000_000_000 });
    fc.assert(
      fc.property(instant, fc.option(name), (atMs, joint) => {
        expect(momentIn(traceLink(atMs, joint)!)).toEqual({ run: null, atMs, joint });
      }),
    );
  });

  test.each([
    ['#at=2031-05-12T06:00:00+02:00&joint=S2', { run: null, atMs: Date.UTC(2031, 4, 12, 4), joint: 'S2' }],
    ['#run=abc&at=2031-05-12T04:00:00Z', { run: 'abc', atMs: Date.UTC(2031, 4, 12, 4), joint: null }],
  ])('%s', (hash, moment) => {
    expect(momentIn(hash)).toEqual(moment);
  });

  test.each(['#at=', '#at=now', '#at=2031-13-40T99:00:00Z', '#at=1', '#joint=S2', '#at=%zz'])(
    '"%s" is none',
    (hash) => {
      expect(momentIn(hash)).toBeNull();
    },
  );
});
