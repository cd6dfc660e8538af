import { expect, test } from 'vitest';
import type { RunRecord } from '../../../src/record/recordSchema.ts';
import { compareRecords } from '../../../src/replay/compareRecords.ts';
import { comparisonTable } from '../../../src/replay/comparisonTable.ts';

type Joint = RunRecord['joints'][number];
type Event = RunRecord['events'][number];

function joint(name: string, top: number, gaps: [number, number][], verdict: Joint['verdict'] = 'short'): Joint {
  const missing = gaps.reduce((sum, [from, to]) => sum + to - from, 0);
  return {
    name,
    kind: 'screen',
    top,
    bottom: top + 10,
    required: 10,
    expanded: 10 - missing,
    unproven: 0,
    uncertainty: 0,
    coverage: 1 - missing / 10,
    longestGap: Math.max(0, ...gaps.map(([from, to]) => to - from)),
    verdict,
    gaps: gaps.map(([from, to]) => ({ from: top + from, to: top + to, cause: 'low pressure' })),
    pressure: null,
    feed: null,
    passes: 1,
    stalls: 0,
    minutes: 1,
    startedAt: null,
    finishedAt: null,
  };
}

const event = (kind: Event['kind'], from: number, to: number | null, on = 'S1'): Event => ({
  kind,
  priority: 'high',
  joint: on,
  depth: 1000,
  from: new Date(from * 1000).toISOString(),
  to: to === null ? null : new Date(to * 1000).toISOString(),
  detail: `${kind} seen`,
});

const record = (joints: Joint[], events: Event[] = []): RunRecord => ({
  format: 'jointwise-record/1',
  units: 'metric',
  source: { frames: 1, rejected: 0, from: new Date(0).toISOString(), to: new Date(0).toISOString(), reasons: {} },
  joints,
  phases: [],
  events,
  minutes: {},
});

test.each<[string, [number, number][], [number, number][], number, number]>([
  // what | gaps before | gaps after | gained | lost, by hand
  ['a gap closes', [[2, 4]], [], 2, 0],
  ['a gap opens', [], [[2, 4]], 0, 2],
  ['a gap moves: as much is gained as lost, though the sum stays', [[2, 4]], [[3, 5]], 1, 1],
  [
    'one of two closes, the other grows',
    [
      [1, 2],
      [6, 7],
    ],
    [[6, 9]],
    1,
    2,
  ],
  ['nothing', [[2, 4]], [[2, 4]], 0, 0],
])('%s', (_what, before, after, gained, lost) => {
  const compared = compareRecords(record([joint('S1', 1000, before)]), record([joint('S1', 1000, after)]));
  expect([compared.gained, compared.lost]).toEqual([gained, lost]);
  expect(compared.joints.length + compared.alike).toBe(1);
});

test.each<[string, number, [number, number][], number, [number, number][], number, number]>([
  // what | required and gaps before | required and gaps after | gained | lost, by hand
  ['it grows by two metres, which are expanded', 10, [[2, 4]], 12, [[2, 4]], 2, 0],
  ['it grows by two metres, which are a gap', 10, [], 12, [[10, 12]], 0, 0],
  ['it grows by two metres, half of them a gap', 10, [], 12, [[11, 12]], 1, 0],
  ['it shrinks by two metres, which were expanded', 12, [], 10, [], 0, 2],
  ['it shrinks by two metres, which were a gap', 12, [[10, 12]], 10, [], 0, 0],
])('the length of a joint: %s', (_what, requiredBefore, before, requiredAfter, after, gained, lost) => {
  const compared = compareRecords(
    record([{ ...joint('S1', 1000, before), required: requiredBefore }]),
    record([{ ...joint('S1', 1000, after), required: requiredAfter }]),
  );
  expect([compared.gained, compared.lost]).toEqual([gained, lost]);
});

test('a joint that has moved as it is has not changed', () => {
  const a = record([joint('S1', 1000, [[2, 4]])]);
  const b = record([joint('S1', 1000.5, [[2, 4]])]);
  expect(compareRecords(a, b)).toMatchObject({ joints: [], alike: 1 });
});

test('joints that only one of the plans has', () => {
  const { joints } = compareRecords(
    record([joint('S1', 1000, []), joint('S2', 1010, [[0, 10]])]),
    record([joint('S1', 1000, []), joint('S3', 1010, [[0, 4]])]),
  );
  expect(joints.map(({ name, before, after, gained, lost }) => [name, before, after, gained, lost])).toEqual([
    ['S2', 'short', null, 0, 0],
    ['S3', null, 'short', 6, 0],
  ]);
});

test.each<[string, Event[], Event[], string[], string[]]>([
  // what | events before | after | come | go
  ['the same', [event('stall', 10, 20)], [event('stall', 10, 20)], [], []],
  ['a little later', [event('stall', 10, 12)], [event('stall', 38, 40)], [], []],
  ['too much later', [event('stall', 10, 12)], [event('stall', 90, 95)], ['stall 90'], ['stall 10']],
  ['overlapping', [event('stall', 10, 500)], [event('stall', 300, null)], [], []],
  ['of another kind', [event('stall', 10, 12)], [event('low pressure', 10, 12)], ['low pressure 10'], ['stall 10']],
  ['two for one', [event('stall', 10, 100)], [event('stall', 10, 40), event('stall', 50, 100)], ['stall 50'], []],
  ['on a joint of another name', [event('stall', 10, 20, 'S1')], [event('stall', 10, 20, 'S2')], [], []],
])('events: %s', (_what, before, after, come, go) => {
  const compared = compareRecords(record([], before), record([], after));
  const said = (list: readonly Event[]) => list.map(({ kind, from }) => `${kind} ${Date.parse(from) / 1000}`);
  expect(said(compared.eventsCome)).toEqual(come);
  expect(said(compared.eventsGone)).toEqual(go);
});

test('the table, as a person reads it', () => {
  const a = record([joint('S1', 1000, [[2, 4]]), joint('S2', 1010, [], 'expanded')], [event('stall', 10, 20)]);
  const b = record([joint('S1', 1000, [], 'expanded'), joint('S2', 1010, [], 'expanded')]);
  expect(comparisonTable(compareRecords(a, b), 'a.json', 'b.json')).toBe(
    [
      'b.json beside a.json: 2.00 m gained, 0.00 m lost, verdicts changed: 1, events that come: 0, that go: 1',
      '',
      'joint  verdict  becomes   expanded m  becomes  gained  lost',
      'S1     short    expanded        8.00    10.00    2.00  0.00',
      '',
      'joints that stay as they are: 1',
      '',
      'event  from                      kind   joint  detail',
      'goes   1970-01-01T00:00:10.000Z  stall  S1     stall seen',
      '',
    ].join('\n'),
  );
});
