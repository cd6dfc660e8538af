/** One line of the journal: every action that there is, and what is refused. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { JOURNAL_LIMITS, journalEntrySchema } from '../../../src/journal/journalSchema.ts';
import { PLAN_LIMITS } from '../../../src/plan/planSchema.ts';
import { scenarioPlan } from '../pipeline/scenario.ts';

const HEAD = { at: '2031-03-04T01:02:03Z', by: 'A. Person' };
const NOTE = { ...HEAD, action: 'note', text: 'hand over' };
const SET_DEPTH = { ...HEAD, action: 'set depth', tool: 'lower', depth: 2421.1 };
const ACCEPT = { ...HEAD, action: 'accept', joint: 'S1', reason: 'seen on the second pass' };

const ENTRIES = [
  SET_DEPTH,
  { ...HEAD, action: 'acknowledge', event: 'low pressure' },
  { ...HEAD, action: 'acknowledge', event: { kind: 'stall', from: '2031-03-04T01:00:00Z', joint: 'S1' } },
  { ...HEAD, action: 'acknowledge', event: { kind: 'stall' } },
  ACCEPT,
  { ...ACCEPT, action: 'reject' },
  NOTE,
  { ...NOTE, depth: 2420.5, time: '2031-03-04T03:00:00+02:00' },
  { ...HEAD, action: 'drop ball', ball: 'setting ball' },
  { ...HEAD, action: 'change plan', plan: scenarioPlan() },
];

describe('entries', () => {
  it.each(ENTRIES.map((entry) => [entry.action, entry] as const))('%s comes back as it was written', (_, entry) => {
    expect(journalEntrySchema.parse(JSON.parse(JSON.stringify(entry)))).toEqual(entry);
  });

  it('every action that the schema knows is among them', () => {
    const known = journalEntrySchema.def.options.flatMap((option) => option.shape.action.def.values);
    expect([...new Set(ENTRIES.map(({ action }) => action))].sort()).toEqual([...known].sort());
  });

  it.each(['Z', '+00:00', '-03:30', '+14:00'])('an instant may say its offset as %s', (offset) => {
    const at = `2031-03-04T01:02:03.5${offset}`;
    expect(journalEntrySchema.parse({ ...NOTE, at }).at).toBe(at);
  });

  it('a name stands without the blanks around it, a reason may be left out', () => {
    const { reason: _, ...bare } = ACCEPT;
    expect(journalEntrySchema.parse({ ...bare, by: '  A. Person ' })).toEqual({ ...ACCEPT, reason: '' });
  });

  it('notes of any words come back', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 1000, unit: 'binary' }), (text) => {
        expect(journalEntrySchema.parse(JSON.parse(JSON.stringify({ ...NOTE, text })))).toEqual({ ...NOTE, text });
      }),
    );
  });
});

describe('refused', () => {
  it.each<[string, object]>([
    ['no action', HEAD],
    ['an action that is none', { ...HEAD, action: 'delete' }],
    ['no instant', { ...NOTE, at: undefined }],
    ['a local time', { ...NOTE, at: '2031-03-04T01:02:03' }],
    ['a day', { ...NOTE, at: '2031-03-04' }],
    ['a day that is none', { ...NOTE, at: '2031-02-30T00:00:00Z' }],
    ['a number for an instant', { ...NOTE, at: 1930352523000 }],
    ['nobody', { ...NOTE, by: '' }],
    ['a blank name', { ...NOTE, by: '   ' }],
    ['too long a name', { ...NOTE, by: 'x'.repeat(101) }],
    ['a note without words', { ...HEAD, action: 'note' }],
    ['too long a note', { ...NOTE, text: 'x'.repeat(4001) }],
    ['a note at a depth in words', { ...NOTE, depth: 'deep' }],
    ['a note at a time that is none', { ...NOTE, time: 'noon' }],
    ['a depth that is none', { ...SET_DEPTH, depth: null }],
    ['a depth without end', { ...SET_DEPTH, depth: Number.POSITIVE_INFINITY }],
    ['a depth of no tool', { ...SET_DEPTH, tool: undefined }],
    ['no joint', { ...ACCEPT, joint: undefined }],
    ['too long a reason', { ...ACCEPT, reason: 'x'.repeat(4001) }],
    ['an event that is none', { ...HEAD, action: 'acknowledge', event: 3 }],
    ['an event without a kind', { ...HEAD, action: 'acknowledge', event: { joint: 'S1' } }],
    ['no plan', { ...HEAD, action: 'change plan' }],
    ['a plan that is none', { ...HEAD, action: 'change plan', plan: { format: 'jointwise-plan/1' } }],
  ])('%s', (_what, entry) => {
    expect(journalEntrySchema.safeParse(entry).success).toBe(false);
  });

  it.each([
    ['a name', { ...NOTE, by: 'x'.repeat(100) }],
    ['a note', { ...NOTE, text: 'x'.repeat(4000) }],
    ['a reason', { ...ACCEPT, reason: 'x'.repeat(4000) }],
  ])('%s of the greatest length is not', (_what, entry) => {
    expect(journalEntrySchema.safeParse(entry).success).toBe(true);
  });
});

it('the largest plan fits into a line, and a line into the journal', () => {
  expect(JOURNAL_LIMITS.lineBytes).toBeGreaterThan(PLAN_LIMITS.bytes);
  expect(JOURNAL_LIMITS.bytes).toBeGreaterThan(JOURNAL_LIMITS.lineBytes);
});
