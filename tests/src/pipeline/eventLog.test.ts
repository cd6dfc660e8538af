/** From conditions to events: on-delay, off-delay, dating back, cost in metres, change of joint. */
import { describe, expect, it } from 'vitest';
import { EVENTS } from '../../../src/events.ts';
import {
  createEventLog,
  type EventLog,
  endAllWatches,
  isWatched,
  logEvent,
  type Reading,
  watchCondition,
} from '../../../src/pipeline/eventLog.ts';
import { readTable } from '../table.ts';

const reading = (over: Partial<Reading>): Reading => ({
  joint: 'S1',
  depth: 2450,
  fromMs: Infinity,
  value: 6000,
  worseIs: 'low',
  toleranceM: 0.01,
  ...over,
});

const spell = (log: EventLog): string =>
  log.events
    .map(
      (event) =>
        `${event.joint} ${event.fromMs / 1000}..${event.toMs === null ? '' : event.toMs / 1000} ${event.detail}`,
    )
    .join(', ') || '-';

/** `on` 1 while the condition stands; the expected events are written `joint from..to worst`. */
function play(kind: 'low pressure' | 'high pressure' | 'stall', table: string): EventLog {
  const log = createEventLog();
  for (const { line, given, wanted } of readTable(table)) {
    const atMs = given.t_s! * 1000;
    const one = reading({
      joint: `S${given.joint}`,
      depth: given.depth_m!,
      value: given.value!,
      worseIs: kind === 'low pressure' ? 'low' : 'high',
      fromMs: atMs,
    });
    if (given.on === 1) watchCondition(log, kind, atMs, one, (worst) => String(worst));
    else watchCondition(log, kind, atMs, null);
    expect(spell(log), `row ${line}`).toBe(wanted.events);
  }
  return log;
}

describe('delays, with the figures of the table of events', () => {
  it('low pressure: 15 s and 0.1 m on, 5 s off, both dated back', () => {
    expect([EVENTS['low pressure'].onDelayMs, EVENTS['low pressure'].offDelayMs]).toEqual([15_000, 5_000]);
    play(
      'low pressure',
      `
      t_s  on  joint  depth_m  value | events
       10   1      1  2450.00   7000 | -
       24   1      1  2450.28   6500 | -
       25   1      1  2450.30   6600 | S1 10.. 6500
       30   1      1  2450.40   6100 | S1 10.. 6100
       31   0      1  2450.42   7900 | S1 10.. 6100
       35   0      1  2450.50   7900 | S1 10.. 6100
       36   0      1  2450.52   7900 | S1 10..31 6100
      `,
    );
  });

  it('a condition that comes back within the off-delay is the same event', () => {
    play(
      'high pressure',
      `
      t_s  on  joint  depth_m  value | events
       10   1      1  2450.00  23000 | -
       13   1      1  2450.00  23000 | S1 10.. 23000
       14   0      1  2450.00  21000 | S1 10.. 23000
       18   1      1  2450.00  24000 | S1 10.. 24000
       22   0      1  2450.00  21000 | S1 10.. 24000
       27   0      1  2450.00  21000 | S1 10..22 24000
      `,
    );
  });

  it('what goes away before the on-delay is forgotten, and counts anew', () => {
    play(
      'high pressure',
      `
      t_s  on  joint  depth_m  value | events
       10   1      1  2450.00  23000 | -
       12   0      1  2450.00  21000 | -
       13   1      1  2450.00  22500 | -
       15   1      1  2450.00  22500 | -
       16   1      1  2450.00  22500 | S1 13.. 22500
      `,
    );
  });

  it('low pressure that loses no metre is no event, however long it stands', () => {
    play(
      'low pressure',
      `
      t_s  on  joint  depth_m  value | events
       10   1      1  2450.00   6000 | -
      300   1      1  2450.09   6000 | -
      301   1      1  2450.11   6000 | S1 10.. 6000
      `,
    );
  });

  it('on another joint it is another event', () => {
    play(
      'high pressure',
      `
      t_s  on  joint  depth_m  value | events
       10   1      1  2450.00  23000 | -
       13   1      1  2450.00  23000 | S1 10.. 23000
       20   1      2  2461.00  22500 | S1 10..20 23000
       23   1      2  2461.00  22500 | S1 10..20 23000, S2 20.. 22500
      `,
    );
  });
});

describe('the log', () => {
  it('dates an event back to what the condition knows of its start', () => {
    const log = createEventLog();
    watchCondition(log, 'stall', 60_000, reading({ fromMs: 28_000 }), () => 'x');
    expect(log.events[0]).toMatchObject({ kind: 'stall', fromMs: 28_000, toMs: null, id: 1, priority: 'high' });
  });

  it('asks for more metres where the depth readings are coarse', () => {
    const log = createEventLog();
    const coarse = (depth: number, atMs: number) =>
      watchCondition(log, 'low pressure', atMs, reading({ depth, toleranceM: 0.1 }), () => 'x');
    coarse(2450, 0);
    coarse(2450.15, 60_000);
    expect(log.events).toEqual([]);
    coarse(2450.25, 61_000);
    expect(log.events).toHaveLength(1);
  });

  it('tells that a condition is watched from its first reading on, for the dead band', () => {
    const log = createEventLog();
    expect(isWatched(log, 'high pressure')).toBe(false);
    watchCondition(log, 'high pressure', 0, reading({}), () => 'x');
    expect(isWatched(log, 'high pressure')).toBe(true);
    watchCondition(log, 'high pressure', 1000, null);
    expect(isWatched(log, 'high pressure')).toBe(false);
  });

  it('ends everything at once where nothing can be known any more, never before it began', () => {
    const log = createEventLog();
    watchCondition(log, 'high pressure', 0, reading({ worseIs: 'high' }), () => 'x');
    watchCondition(log, 'high pressure', 5_000, reading({ worseIs: 'high' }), () => 'x');
    watchCondition(log, 'low pressure', 5_000, reading({}), () => 'x');
    endAllWatches(log, 4_000);
    expect(spell(log)).toBe('S1 0..4 x');
    watchCondition(log, 'low pressure', 25_000, reading({ depth: 2451 }), () => 'x');
    expect(log.events, 'the count starts anew').toHaveLength(1);
  });

  it('numbers events from 1 and gives each change a revision of its own', () => {
    const log = createEventLog();
    logEvent(log, 'data gap', 'S1', Number.NaN, 0, 9_000, 'nine seconds');
    logEvent(log, 'depth jump', null, 2450, 9_000, null, 'off');
    expect(log.events.map(({ id, depth, revision }) => [id, depth, revision])).toEqual([
      [1, null, 1],
      [2, 2450, 2],
    ]);
    expect(log.revision).toBe(2);
  });
});
