/** What service and page say to each other: whole there and back, and nothing else is taken. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { GAP_CAUSES, VERDICTS } from '../../../src/causes.ts';
import { EVENT_NAMES } from '../../../src/events.ts';
import {
  BREACHES,
  clockSchema,
  deltaMessageSchema,
  eventStateSchema,
  helloMessageSchema,
  ingestStateSchema,
  jointStateSchema,
  LINKS,
  LIVE_LIMITS,
  nowSchema,
  pageMessageSchema,
  serverMessageSchema,
  snapshotMessageSchema,
  TRACE_COLUMNS,
  traceRowSchema,
} from '../../../src/live/messages.ts';
import { PHASE_NAMES } from '../../../src/phases.ts';
import { event, nowAt, SCENES, snapshotOf, swept } from '../../support/liveScenes.ts';

const overTheWire = (message: unknown): unknown => JSON.parse(JSON.stringify(message));
const ROW = [Date.UTC(2031, 2, 4), ...TRACE_COLUMNS.slice(1).map((_, i) => (i % 3 === 0 ? null : i + 0.5))];
const SNAPSHOT = { type: 'snapshot' as const, seq: 7, ...snapshotOf(SCENES.good!()) };
const DELTA = {
  type: 'delta' as const,
  seq: 8,
  serverMs: 1e12,
  now: nowAt(2466.25),
  rows: [ROW],
  joints: [swept(5, 2466.25, { from: 1, to: 1.5, cause: 'low pressure' })],
  events: [event(1, { detail: ['down to ', { quantity: 'pressure', value: 6000, decimals: 0 }] })],
  ingest: SNAPSHOT.ingest,
};

describe('there and back', () => {
  it.each(Object.keys(SCENES))('the snapshot of "%s"', (name) => {
    const message = { type: 'snapshot', seq: 0, ...snapshotOf(SCENES[name]!()) };
    expect(serverMessageSchema.parse(overTheWire(message))).toEqual(message);
  });

  it('a snapshot before the first sample', () => {
    const message = { ...SNAPSHOT, now: null, joints: [], events: [] };
    expect(serverMessageSchema.parse(overTheWire(message))).toEqual(message);
  });

  it('a delta of all parts, and of any of them', () => {
    const { type, seq, serverMs, ...parts } = DELTA;
    fc.assert(
      fc.property(fc.subarray(Object.keys(parts) as (keyof typeof parts)[]), (kept) => {
        const message = { type, seq, serverMs, ...Object.fromEntries(kept.map((name) => [name, parts[name]])) };
        expect(serverMessageSchema.parse(overTheWire(message))).toEqual(message);
      }),
    );
  });

  it('rows of any numbers, holes left as holes', () => {
    const value = fc.option(fc.double({ noNaN: true, noDefaultInfinity: true }).map((x) => (x === 0 ? 0 : x)));
    const row = fc.array(value, { minLength: TRACE_COLUMNS.length, maxLength: TRACE_COLUMNS.length });
    fc.assert(
      fc.property(row, (wanted) => {
        expect(traceRowSchema.parse(overTheWire(wanted))).toEqual(wanted);
      }),
    );
  });

  it('the longest hello is short enough for the service to read', () => {
    const hello = { type: 'hello', run: '\u{1F6E2}'.repeat(100), lastSeq: Number.MAX_SAFE_INTEGER };
    expect(pageMessageSchema.parse(overTheWire(hello))).toEqual(hello);
    expect(Buffer.byteLength(JSON.stringify(hello))).toBeLessThanOrEqual(LIVE_LIMITS.pageMessageBytes);
  });
});

describe('refused: a message that lacks a part', () => {
  const now = nowAt(2466);
  it.each([
    ['a snapshot', snapshotMessageSchema, SNAPSHOT, []],
    ['a delta', deltaMessageSchema, DELTA, ['now', 'rows', 'joints', 'events', 'ingest']],
    ['the instant', nowSchema, now, []],
    ['the bounds', nowSchema.shape.bounds, now.bounds, []],
    ['a joint', jointStateSchema, DELTA.joints[0]!, []],
    ['an event', eventStateSchema, DELTA.events[0]!, []],
    ['the source', ingestStateSchema, SNAPSHOT.ingest, []],
    ['the clock', clockSchema, SNAPSHOT.clock, []],
    ['a hello', helloMessageSchema, { type: 'hello', run: 'one', lastSeq: 3 }, ['run', 'lastSeq']],
  ] as const)('%s', (_what, schema, whole, mayLack) => {
    expect(schema.safeParse(overTheWire(whole)).success).toBe(true);
    for (const part of Object.keys(whole)) {
      const lacking = Object.fromEntries(Object.entries(whole).filter(([key]) => key !== part));
      expect([part, schema.safeParse(lacking).success]).toEqual([part, (mayLack as readonly string[]).includes(part)]);
    }
  });
});

describe('refused: a value that cannot be', () => {
  it.each<[string, object]>([
    ['another type', { ...DELTA, type: 'gossip' }],
    ['a number of half', { ...DELTA, seq: 1.5 }],
    ['a number in words', { ...DELTA, seq: '8' }],
    ['a row too short', { ...DELTA, rows: [ROW.slice(1)] }],
    ['a row too long', { ...DELTA, rows: [[...ROW, 1]] }],
    ['a value in words', { ...DELTA, rows: [[...ROW.slice(0, -1), '0']] }],
    ['a phase that is none', { ...DELTA, now: { ...DELTA.now, phase: 'drilling' } }],
    ['half a joint', { ...DELTA, now: { ...DELTA.now, joint: 0.5 } }],
    ['a judgement that is none', { ...DELTA, now: { ...DELTA.now, judgement: { state: 'fair', causes: [] } } }],
    ['a cause that is none', { ...DELTA, now: { ...DELTA.now, judgement: { state: 'bad', causes: ['bad luck'] } } }],
    ['a verdict that is none', { ...DELTA, joints: [{ ...DELTA.joints[0], verdict: 'fine' }] }],
    ['a stretch with one end', { ...DELTA, joints: [{ ...DELTA.joints[0], expanded: [[2400]] }] }],
    ['an event that is none', { ...DELTA, events: [{ ...DELTA.events[0], kind: 'rain' }] }],
    ['a priority that is none', { ...DELTA, events: [{ ...DELTA.events[0], priority: 'whenever' }] }],
    ['a link that is none', { ...DELTA, ingest: { ...DELTA.ingest, link: 'perhaps' } }],
    ['a run that stands still', { ...SNAPSHOT, clock: { rate: 0, serverMs: 1 } }],
    ['a run that goes back', { ...SNAPSHOT, clock: { rate: -1, serverMs: 1 } }],
    ['a plan that is none', { ...SNAPSHOT, plan: { ...SNAPSHOT.plan, liner: {} } }],
  ])('%s', (_what, message) => {
    expect(serverMessageSchema.safeParse(overTheWire(message)).success).toBe(false);
  });

  it.each<[string, unknown]>([
    ['another type', { type: 'please' }],
    ['a name of a run that is too long', { type: 'hello', run: 'x'.repeat(201) }],
    ['a number below none', { type: 'hello', lastSeq: -1 }],
    ['half a number', { type: 'hello', lastSeq: 0.5 }],
    ['a number beyond counting', { type: 'hello', lastSeq: 2 ** 53 }],
    ['a list', [{ type: 'hello' }]],
    ['nothing', null],
  ])('from a page: %s', (_what, message) => {
    expect(pageMessageSchema.safeParse(message).success).toBe(false);
  });

  it('a value that is not known is null, never left out or not a number', () => {
    const { pressureMax: _, ...bounds } = DELTA.now.bounds;
    for (const pressure of [null, 9000]) {
      expect(nowSchema.safeParse({ ...DELTA.now, standpipePressure: pressure }).success).toBe(true);
    }
    expect(nowSchema.safeParse({ ...DELTA.now, standpipePressure: Number.NaN }).success).toBe(false);
    expect(nowSchema.safeParse({ ...DELTA.now, bounds }).success).toBe(false);
  });
});

describe('the tables', () => {
  it('every phase, event, cause, verdict and link has its place in a message', () => {
    const now = nowAt(2466);
    for (const phase of PHASE_NAMES) expect(nowSchema.safeParse({ ...now, phase }).success, phase).toBe(true);
    for (const kind of EVENT_NAMES) expect(eventStateSchema.safeParse(event(1, { kind })).success, kind).toBe(true);
    const gaps = GAP_CAUSES.map((cause, i) => ({ from: i, to: i + 1, cause }));
    for (const verdict of VERDICTS) {
      expect(jointStateSchema.safeParse({ ...DELTA.joints[0], verdict, gaps }).success, verdict).toBe(true);
    }
    for (const link of LINKS) expect(ingestStateSchema.safeParse({ ...SNAPSHOT.ingest, link }).success).toBe(true);
  });

  it('each breach is a bit of its own, each column named once, the time first and the breaches last', () => {
    const bits = Object.values(BREACHES);
    expect(bits.reduce((sum, bit) => sum | bit, 0)).toBe(bits.reduce((sum, bit) => sum + bit, 0));
    for (const bit of bits) expect(Math.log2(bit) % 1).toBe(0);
    expect(new Set(TRACE_COLUMNS).size).toBe(TRACE_COLUMNS.length);
    expect([TRACE_COLUMNS[0], TRACE_COLUMNS.at(-1)]).toEqual(['sourceMs', 'breach']);
  });

  it('a slow page is caught up again well below where it began to be one', () => {
    expect(LIVE_LIMITS.caughtUpBelowBytes).toBeLessThan(LIVE_LIMITS.slowAboveBytes / 2);
  });
});
