import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { jointPieces } from '../../web/liner/jointPieces.ts';
import { CLOSE_UP_M, depthMarks, followWindow, spreadLabels, windowAround } from '../../web/liner/linerScale.ts';
import { SCENE_JOB, swept, untouched } from '../support/liveScenes.ts';

const WHOLE = { from: 2400, to: 2530 };
const depth = fc.double({ min: 2380, max: 2550, noNaN: true });

describe('the enlarged stretch', () => {
  test('is always as long, lies within the liner, and holds the tool where the liner does', () => {
    fc.assert(
      fc.property(fc.array(depth, { minLength: 1, maxLength: 40 }), (depths) => {
        let shown = followWindow(null, null, WHOLE);
        for (const at of depths) {
          shown = followWindow(shown, at, WHOLE);
          expect(shown.to - shown.from).toBeCloseTo(CLOSE_UP_M, 9);
          expect(shown.from).toBeGreaterThanOrEqual(WHOLE.from);
          expect(shown.to).toBeLessThanOrEqual(WHOLE.to + 1e-9);
          if (at >= WHOLE.from && at <= WHOLE.to) {
            expect(at).toBeGreaterThanOrEqual(shown.from);
            expect(at).toBeLessThanOrEqual(shown.to + 1e-9);
          }
        }
      }),
    );
  });

  test('stands still while the tool is well inside it, then moves on', () => {
    const first = followWindow(null, 2450, WHOLE);
    expect(followWindow(first, 2455, WHOLE)).toBe(first);
    expect(followWindow(first, 2466, WHOLE).from).toBeGreaterThan(first.from);
  });

  test('a liner shorter than the stretch is shown whole', () => {
    expect(followWindow(null, 2405, { from: 2400, to: 2412 })).toEqual({ from: 2400, to: 2412 });
  });

  test('around a joint that was singled out, the joint is in the middle', () => {
    const shown = windowAround(2450, 2460, WHOLE);
    expect((shown.from + shown.to) / 2).toBeCloseTo(2455, 9);
  });
});

test('depth marks are whole steps of the unit, far enough apart', () => {
  const marks = depthMarks({ from: 2457.2, to: 2489.2 }, 520, 1);
  expect(marks).toEqual([2460, 2465, 2470, 2475, 2480, 2485]);
  const feet = depthMarks({ from: 2457.2, to: 2489.2 }, 520, 0.3048).map((m) => m / 0.3048);
  for (const mark of feet) expect(mark / 10).toBeCloseTo(Math.round(mark / 10), 6);
});

test('labels keep their order and never cover one another', () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 0, max: 600 }), { maxLength: 8 }), (wanted) => {
      const placed = spreadLabels(
        [...wanted].sort((a, b) => a - b),
        40,
      );
      for (let i = 1; i < placed.length; i++) expect(placed[i]! - placed[i - 1]!).toBeGreaterThanOrEqual(40);
    }),
  );
});

describe('pieces of a joint', () => {
  const joint = SCENE_JOB.joints[4]!;

  test('untouched: one piece, not reached', () => {
    expect(jointPieces(joint, untouched(4))).toEqual([{ kind: 'not reached', from: joint.from, to: joint.to }]);
    expect(jointPieces(SCENE_JOB.joints[2]!, untouched(2))).toEqual([]);
  });

  test('expanded, a gap, an unproven stretch and the rest, from the top down', () => {
    const state = swept(4, joint.from + 8, { from: 2, to: 3, cause: 'low pressure' }, [5, 6]);
    const pieces = jointPieces(joint, state).map(({ kind, from, to }) => [
      kind,
      Number((from - joint.from).toFixed(3)),
      Number((to - joint.from).toFixed(3)),
    ]);
    expect(pieces).toEqual([
      ['expanded', 0, 2],
      ['gap', 2, 3],
      ['expanded', 3, 5],
      ['unproven', 5, 6],
      ['expanded', 6, 8],
      ['not reached', 8, 10.5],
    ]);
  });

  test('whatever the service sends, the pieces cover the required part once', () => {
    const span = fc
      .tuple(fc.double({ min: -1, max: 12, noNaN: true }), fc.double({ min: 0, max: 5, noNaN: true }))
      .map(([at, length]): [number, number] => [joint.from + at, joint.from + at + length]);
    fc.assert(
      fc.property(fc.array(span, { maxLength: 4 }), fc.array(span, { maxLength: 3 }), (expanded, unproven) => {
        const pieces = jointPieces(joint, { ...untouched(4), expanded, unproven });
        expect(pieces[0]!.from).toBe(joint.from);
        expect(pieces[pieces.length - 1]!.to).toBe(joint.to);
        for (let i = 1; i < pieces.length; i++) {
          expect(pieces[i]!.from).toBe(pieces[i - 1]!.to);
          expect(pieces[i]!.kind).not.toBe(pieces[i - 1]!.kind);
        }
      }),
    );
  });
});
