import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { DeltaMessage, TraceRow } from '../../src/live/messages.ts';
import { applyMerged, applySnapshot } from '../../web/live/applyMessages.ts';
import { BACK_OFF, backOffMs } from '../../web/live/backOff.ts';
import { freshnessOf, STALE_NOT_BEFORE_MS } from '../../web/live/freshnessOf.ts';
import { CLOSED_EVENTS_KEPT, mergeDelta, nothingMerged, withEvents } from '../../web/live/mergeDeltas.ts';
import { judgeSequence } from '../../web/live/sequence.ts';
import { CLOCK_WINDOW, ServerClock } from '../../web/live/serverClock.ts';
import { job, joints, now, onRows, selectedJoint } from '../../web/state.ts';
import { event, JOINTS_AT_S3, nowAt, SCENES, snapshotOf, swept } from '../support/liveScenes.ts';

const delta = (seq: number, rest: Partial<DeltaMessage> = {}): DeltaMessage => ({
  type: 'delta',
  seq,
  serverMs: 0,
  ...rest,
});

describe('L2: numbers', () => {
  test.each([
    // last  type        seq  verdict
    [null, 'snapshot', 40, 'take'],
    [null, 'delta', 1, 'hole'],
    [40, 'delta', 41, 'take'],
    [40, 'delta', 40, 'known already'],
    [40, 'delta', 12, 'known already'],
    [40, 'delta', 42, 'hole'],
    [40, 'snapshot', 12, 'take'],
  ] as const)('after %s a %s with %s: %s', (last, type, seq, verdict) => {
    expect(judgeSequence(last, { type, seq })).toBe(verdict);
  });
});

test('the wait doubles, is spread, and has an end', () => {
  expect([1, 2, 3, 4].map((attempt) => backOffMs(attempt, 0))).toEqual([500, 1000, 2000, 4000]);
  expect(backOffMs(1, 1)).toBeCloseTo(350, 9);
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 1e6 }), fc.double({ min: 0, max: 1, noNaN: true }), (attempt, chance) => {
      const wait = backOffMs(attempt, chance);
      expect(wait).toBeGreaterThan(0);
      expect(wait).toBeLessThanOrEqual(BACK_OFF.mostMs);
    }),
  );
});

describe('the clock of the service', () => {
  test('is wrong by no more than the quickest way across the link', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 3, max: 900 }), { minLength: 1, maxLength: CLOCK_WINDOW }), (ways) => {
        const clock = new ServerClock();
        let offset = 0;
        ways.forEach((way, i) => {
          offset = clock.heard(5_000_000 + i * 1000, i * 1000 + way);
        });
        expect(5_000_000 - offset).toBe(Math.min(...ways));
      }),
    );
  });

  test('a clock that was set back is followed once the window has passed', () => {
    const clock = new ServerClock();
    clock.heard(1_000_000, 0);
    let offset = 0;
    for (let i = 0; i < CLOCK_WINDOW; i++) offset = clock.heard(400_000 + i, i);
    expect(offset).toBe(400_000);
  });
});

describe('freshness', () => {
  test.each([
    // arrival  now    rate  gap    link      kind          age
    [null, 9000, 1, 5000, 'open', 'nothing yet', undefined],
    [1000, 5900, 1, 5000, 'open', 'fresh', 4.9],
    [1000, 6100, 1, 5000, 'open', 'stale', 5.1],
    [1000, 1300, 20, 5000, 'open', 'fresh', 6],
    [1000, 2100, 20, 5000, 'open', 'stale', 22],
    [1000, 1100, 1, 5000, 'lost', 'link lost', 0.1],
    [1000, 900, 1, 5000, 'open', 'fresh', 0],
  ] as const)(
    'arrived %s, now %s, at %s× with a gap of %s ms, link %s: %s',
    (at, nowMs, rate, gap, link, kind, age) => {
      const found = freshnessOf(at, nowMs, rate, gap, link);
      expect(found.kind).toBe(kind);
      if (age !== undefined) expect('ageS' in found && found.ageS).toBeCloseTo(age, 9);
    },
  );

  test("at life's own speed the plan's gap alone decides, whatever it is above a second", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: STALE_NOT_BEFORE_MS, max: 3_600_000 }),
        fc.integer({ min: 0, max: 7_200_000 }),
        (gap, age) => {
          expect(freshnessOf(0, age, 1, gap, 'open').kind).toBe(age > gap ? 'stale' : 'fresh');
        },
      ),
    );
  });
});

describe('deltas within one frame', () => {
  test('the last word on each joint and event stands, and no row is lost or out of order', () => {
    const merged = nothingMerged();
    const [early, late] = [swept(5, 2465), swept(5, 2466)];
    mergeDelta(merged, delta(1, { rows: [[1]], joints: [early], events: [event(1, {})] }));
    mergeDelta(merged, delta(2, { rows: [[2], [3]], now: nowAt(2466) }));
    mergeDelta(merged, delta(3, { rows: [[4]], joints: [late], events: [event(1, { toMs: 9 })] }));
    expect(merged.rows).toEqual([[1], [2], [3], [4]]);
    expect([...merged.joints.values()]).toEqual([late]);
    expect([...merged.events.values()].map(({ toMs }) => toMs)).toEqual([9]);
    expect(merged.now?.toolDepths[1]).toBe(2466);
  });

  test('closed events are bounded, open ones are never dropped', () => {
    const many = Array.from({ length: 2000 }, (_, id) => event(id, { fromMs: id, toMs: id % 4 === 0 ? null : id + 1 }));
    const kept = withEvents([], new Map(many.map((one) => [one.id, one])));
    expect(kept.filter(({ toMs }) => toMs === null)).toHaveLength(500);
    expect(kept.filter(({ toMs }) => toMs !== null)).toHaveLength(CLOSED_EVENTS_KEPT);
    expect(kept[0]!.fromMs).toBe(1999);
  });
});

describe('into the state of the page', () => {
  const scene = SCENES.good!();

  test('a delta touches only the joints that it names, and gives the rows to every listener', () => {
    applySnapshot({ type: 'snapshot', seq: 1, ...snapshotOf(scene) });
    expect(job.value?.joints).toHaveLength(12);
    const touched: number[] = [];
    const stops = joints.value.map((joint, index) => joint.subscribe(() => touched.push(index)));
    touched.length = 0;
    const got: TraceRow[] = [];
    const off = onRows((rows) => got.push(...rows));
    const merged = nothingMerged();
    mergeDelta(merged, delta(2, { joints: [swept(5, 2469)], rows: [[7]], now: nowAt(2469) }));
    applyMerged(merged);
    expect(touched).toEqual([5]);
    expect(got).toEqual([[7]]);
    expect(now.value?.toolDepths[1]).toBe(2469);
    off();
    applyMerged({ ...nothingMerged(), rows: [[8]] });
    expect(got).toHaveLength(1);
    for (const stop of stops) stop();
  });

  test('the same run said again keeps the rows of the table and what the viewer singled out; a new run does not', () => {
    applySnapshot({ type: 'snapshot', seq: 1, ...snapshotOf(scene) });
    const before = joints.value;
    selectedJoint.value = 3;
    applySnapshot({ type: 'snapshot', seq: 9, ...snapshotOf({ ...scene, joints: JOINTS_AT_S3(2470) }) });
    expect(joints.value).toBe(before);
    expect(selectedJoint.value).toBe(3);
    applySnapshot({ type: 'snapshot', seq: 1, ...snapshotOf(scene), run: 'another' });
    expect(selectedJoint.value).toBeNull();
  });
});
