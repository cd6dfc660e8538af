import { describe, expect, test } from 'vitest';
import { ackState, CLOSED_SHOWN, eventLists, eventPlace } from '../../web/events/eventWords.ts';
import { refusalWords } from '../../web/frame/refusals.ts';
import { jointRow } from '../../web/joints/jointRow.ts';
import { event, SCENE_JOB, SCENE_START_MS, swept, untouched } from '../support/liveScenes.ts';

const plain = (text: string): string => text.replaceAll('\u202f', '');

describe('a row of the joint table', () => {
  test('a joint swept with a gap, in both unit systems', () => {
    const joint = SCENE_JOB.joints[4]!;
    const state = swept(4, joint.to, { from: 3.1, to: 5.1, cause: 'low pressure' });
    const cells = Object.values(jointRow(joint, state, 'metric')).map(plain);
    expect(cells.join(' | ')).toBe(
      'S2 | screen | 10.50 | 8.50 | 80.9 | 2.00 | 6220 | 9120 | 9540 | 1.18 | 0 | 8.9 | short',
    );
    const field = jointRow(joint, state, 'field');
    // 10.50 m = 34.4 ft, 9120 kPa = 1323 psi, 1.18 m/min = 3.9 ft/min (NIST SP 811, B.8)
    expect([field.required, plain(field.pressureMean), field.feed]).toEqual(['34.4', '1323', '3.9']);
  });

  test('what was not reached or is not to be expanded is left empty, not filled with zeros', () => {
    const cells = (index: number) => Object.values(jointRow(SCENE_JOB.joints[index]!, untouched(index), 'metric'));
    expect(cells(5).join('|')).toBe('S3|screen|10.50||||||||||not reached');
    expect(cells(2).join('|')).toBe('B1|blank|||||||||||not planned');
  });
});

describe('events', () => {
  test('open before closed, urgent first, then the newest', () => {
    const lists = eventLists([
      event(1, { priority: 'medium', kind: 'data gap', fromMs: 50 }),
      event(2, { fromMs: 10 }),
      event(3, { fromMs: 20 }),
      event(4, { fromMs: 30, toMs: 40 }),
      event(5, { fromMs: 1, toMs: 60 }),
    ]);
    expect(lists.open.map(({ id }) => id)).toEqual([3, 2, 1]);
    expect(lists.closed.map(({ id }) => id)).toEqual([5, 4]);
  });

  test('no more closed ones than fit; every open one', () => {
    const many = Array.from({ length: 40 }, (_, id) => event(id, { toMs: id % 2 ? SCENE_START_MS : null }));
    const lists = eventLists(many);
    expect(lists.closed).toHaveLength(CLOSED_SHOWN);
    expect(lists.open).toHaveLength(20);
  });

  test('what waits to be acknowledged comes before what is, whether open or ended', () => {
    const acknowledged = { by: 'Day shift', atMs: 70, reason: '' };
    const lists = eventLists([
      event(1, { fromMs: 10 }),
      event(2, { fromMs: 20, acknowledged }),
      event(3, { fromMs: 1, toMs: 60, acknowledged }),
      event(4, { fromMs: 1, toMs: 40 }),
    ]);
    expect(lists.open.map(({ id }) => id)).toEqual([1, 2]);
    expect(lists.closed.map(({ id }) => id)).toEqual([4, 3]);
    expect([...lists.open, ...lists.closed].map(ackState)).toEqual([
      'not acknowledged',
      'acknowledged',
      'ended, not acknowledged',
      'acknowledged',
    ]);
  });

  test.each([
    [{}, 'S3 at 2470.40 m, since 13:29:18'],
    [{ depth: null }, 'S3, since 13:29:18'],
    [{ joint: null }, 'at 2470.40 m, since 13:29:18'],
    [{ joint: null, depth: null }, 'since 13:29:18'],
    [{ toMs: SCENE_START_MS }, 'S3 at 2470.40 m, 13:29:18, for 42 s'],
  ])('%j reads %s', (other, text) => {
    expect(plain(eventPlace(event(1, other), 'metric', 3_600_000))).toBe(text);
  });
});

test('refusals are counted by reason, never summed across bytes and packets', () => {
  expect(refusalWords({ rejected: {} })).toBe('none refused');
  expect(refusalWords({ rejected: { noise: 4000, 'no trailer': 0 } })).toBe('refusals for 1 reason');
  expect(refusalWords({ rejected: { noise: 4000, 'no trailer': 1 } })).toBe('refusals for 2 reasons');
});
