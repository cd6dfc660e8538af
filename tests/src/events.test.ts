/** The table of events: each raised somewhere, each promised, each with figures that make sense. */
import { describe, expect, it } from 'vitest';
import {
  EVENT_NAMES,
  EVENTS,
  type EventKind,
  type EventName,
  PRIORITIES,
  WELL_CONTROL_CAUTION,
} from '../../src/events.ts';
import { filesThatSay, sourceFiles } from './sourceText.ts';

/** Kinds of the promised record, without those of the engineering part. */
const PROMISED = [
  'stall',
  'low pressure',
  'high pressure',
  'high torque',
  'rotation lost',
  'fast feed',
  'data gap',
  'stuck sensor',
  'depth jump',
];

/** And those of the engineering part. */
const ENGINEERING = [
  'gain',
  'losses',
  'pack-off',
  'washout',
  'plugging',
  'pump mismatch',
  'valve not shifted',
  'valve not reset',
  'high feed per turn',
  'long dwell',
  'pressure at connection',
  'short overlap',
  'stick-slip',
  'overpull',
  'high set-down',
  'high hookload',
  'long stationary',
  'depth mismatch',
  'unit change',
  'ball overdue',
  'hanger moved',
  'test not passed',
];

describe('the events', () => {
  it('are those that the record promises', () => {
    expect([...EVENT_NAMES].sort()).toEqual([...PROMISED, ...ENGINEERING].sort());
  });

  it.each(EVENT_NAMES)('%s is raised by the pipeline', (name) => {
    expect(filesThatSay(sourceFiles('src/pipeline'), name)).not.toEqual([]);
  });

  it('losses and gains rank first, and say that well control does', () => {
    const first = EVENT_NAMES.filter((name) => (EVENTS[name] as EventKind).ranksFirst);
    expect(first.sort()).toEqual(['gain', 'losses']);
    for (const name of first) expect(EVENTS[name].lookFirst).toContain(WELL_CONTROL_CAUTION);
  });

  it.each(ENGINEERING)('%s says what it may be confused with', (name) => {
    const kind: EventKind = EVENTS[name as EventName];
    if (name !== 'high hookload') expect(kind.mayAlsoBe?.length).toBeGreaterThan(10);
  });

  it.each(EVENT_NAMES)('%s has a priority, delays, a dead band and a first thing to look at', (name) => {
    const kind = EVENTS[name];
    expect(PRIORITIES).toContain(kind.priority);
    expect(kind.onDelayMs).toBeGreaterThanOrEqual(0);
    // Found on the right joint within 45 s is the promise: no delay may use up more than two thirds of it, but for a dead sensor.
    expect(kind.onDelayMs).toBeLessThanOrEqual(name === 'stuck sensor' ? 60_000 : 30_000);
    expect(kind.offDelayMs).toBeGreaterThanOrEqual(0);
    expect(kind.deadBand).toBeGreaterThanOrEqual(0);
    expect(kind.deadBand).toBeLessThan(0.5);
    expect(kind.lookFirst).toMatch(/^[A-Z].*[.?]$/);
  });
});
