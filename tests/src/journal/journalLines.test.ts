import { expect, test } from 'vitest';
import { addEntry, createJournalLines, newestLines, noteProblem } from '../../../src/journal/journalLines.ts';
import type { JournalEntry } from '../../../src/journal/journalSchema.ts';
import { versionOf } from '../../../src/journal/notes.ts';
import { journalLineSchema } from '../../../src/live/messages.ts';
import { planSchema } from '../../../src/plan/planSchema.ts';
import { SMALL_PLAN } from '../../support/smallPlan.ts';

const HEAD = { at: '2031-03-04T00:00:01Z', by: 'A. Person' } as const;
const note = (over: object): JournalEntry => ({ ...HEAD, action: 'note', text: 'seen', ...over }) as JournalEntry;

test('a depth is told in metres, in the units of the plan that was in force', () => {
  const journal = createJournalLines('metric');
  expect(addEntry(journal, note({ depth: 1000 }), 'seen').note!.depth).toBe(1000);
  const plan = planSchema.parse({ ...SMALL_PLAN, units: 'field' });
  addEntry(journal, { ...HEAD, action: 'change plan', plan }, 'new plan in force');
  // 1 ft = 0.3048 m (NIST SP 811, B.8)
  expect(addEntry(journal, note({ depth: 1000 }), 'seen').note!.depth).toBeCloseTo(304.8, 9);
});

test('entries without an id, or with one that is taken, are told apart by their place', () => {
  const journal = createJournalLines('metric');
  const ids = [{}, { id: 'a' }, { id: 'a' }].map((over) => addEntry(journal, note(over), 'seen').note!.id);
  expect(ids).toEqual(['e0', 'a', 'e2']);
});

test('an edit of what is not in the run stands for itself; the line is of the promised form', () => {
  const journal = createJournalLines('metric');
  addEntry(journal, note({ id: 'a' }), 'seen');
  const line = addEntry(journal, note({ id: 'b', edits: ['a', 'gone'], joint: 'S1' }), 'seen');
  expect(journalLineSchema.parse(line)).toEqual(line);
  expect(versionOf(line)).toMatchObject({ id: 'b', edits: ['a'], joint: 'S1', number: 1, takenBack: false });
  expect(versionOf(addEntry(journal, { ...HEAD, action: 'drop ball', ball: 'one' }, 'let go'))).toBeNull();
});

test('what cannot be meant is said: place, found, expected', () => {
  const journal = createJournalLines('metric');
  addEntry(journal, note({ id: 'a' }), 'seen');
  addEntry(journal, note({ id: 'b', edits: ['a'] }), 'seen');
  addEntry(journal, note({ id: 'c' }), 'seen');
  for (const [posted, says] of [
    [{ id: 'd', edits: ['b'] }, null],
    [{ id: 'd', edits: ['a', 'b'] }, null],
    [{ id: 'a' }, /^id: found a, which is entered already/],
    [{ edits: ['x'] }, /^edits: found x, expected a note of this run$/],
    [{ edits: ['b', 'c'] }, /^edits: found several notes/],
    [{ takenBack: true as const }, /^edits: found nothing, expected the note that is taken back$/],
  ] as const) {
    const problem = noteProblem(journal, { ...posted, edits: 'edits' in posted ? [...posted.edits] : undefined });
    if (says === null) expect(problem).toBeNull();
    else expect(problem).toMatch(says);
  }
});

test('the newest lines that fit are told, and how many before them were left out', () => {
  const journal = createJournalLines('metric');
  for (let i = 0; i < 100; i++) {
    // Every fourth is an edit of the first note, every fifth no note at all.
    if (i % 5 === 0) addEntry(journal, { ...HEAD, action: 'reject', joint: 'S1', reason: 'torn' }, 'x'.repeat(1000));
    else
      addEntry(journal, note({ text: 'x'.repeat(1000), id: `n${i}`, ...(i % 4 === 0 ? { edits: ['n1'] } : {}) }), '');
  }
  const { lines, leftOut, notesLeftOut } = newestLines(journal, 20_000);
  expect(lines.length + leftOut).toBe(100);
  expect(lines.length).toBeGreaterThan(10);
  expect(lines.length).toBeLessThan(20);
  expect(lines.at(-1)!.number).toBe(99);
  const begun = [...Array(leftOut).keys()].filter((i) => i % 5 !== 0 && i % 4 !== 0).length;
  expect(notesLeftOut).toBe(begun);
  expect(newestLines(journal, 1e9).leftOut).toBe(0);
});
