import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Note, type NoteVersion, noteState, notesOf } from '../../../src/journal/notes.ts';

const PLACE = { timeMs: null, depth: null, joint: null, atMs: 0 } as const;
const version = (number: number, id: string, edits: readonly string[] = [], over: Partial<NoteVersion> = {}) => ({
  ...PLACE,
  number,
  id,
  edits,
  by: 'A. Person',
  text: id,
  takenBack: false,
  ...over,
});
const standing = (notes: readonly Note[]) => notes.map((note) => note.standing.map(({ id }) => id));

/** What people do: write a note, or edit or take back what stands in one of those that their page shows. */
type Deed =
  | { readonly who: number; readonly does: 'write' }
  | { readonly who: number; readonly does: 'edit' | 'take back'; readonly which: number }
  /** The page of `who` hears what was entered until now. */
  | { readonly who: number; readonly does: 'hear' };
const who = fc.nat(3);
const deeds: fc.Arbitrary<Deed[]> = fc.array(
  fc.oneof(
    fc.record({ who, does: fc.constant('write' as const) }),
    fc.record({ who, does: fc.constantFrom('edit' as const, 'take back' as const), which: fc.nat(20) }),
    fc.record({ who, does: fc.constant('hear' as const) }),
  ),
  { maxLength: 60 },
);

/** All entries in the order in which the service took them; each follows only what its writer's page showed. */
function played(done: readonly Deed[]): NoteVersion[] {
  const journal: NoteVersion[] = [];
  const heard = [0, 0, 0, 0];
  for (const deed of done) {
    if (deed.does === 'hear') {
      heard[deed.who] = journal.length;
      continue;
    }
    const id = `v${journal.length}`;
    const seen = notesOf(journal.slice(0, heard[deed.who]));
    const note = deed.does === 'write' ? undefined : seen[deed.which % Math.max(1, seen.length)];
    if (deed.does !== 'write' && !note) continue;
    const edits = note?.standing.map((one) => one.id) ?? [];
    journal.push(version(journal.length, id, edits, { takenBack: deed.does === 'take back' }));
  }
  return journal;
}

describe('notes', () => {
  test('an edit takes the place of what it follows; both are kept', () => {
    const [note] = notesOf([version(0, 'a'), version(1, 'b', ['a'])]);
    expect(note!.standing.map(({ id }) => id)).toEqual(['b']);
    expect(note!.versions.map(({ id }) => id)).toEqual(['a', 'b']);
    expect(noteState(note!)).toBe('stands');
  });

  test('two edits of one version at the same time both stand, until one follows both', () => {
    const both = [version(0, 'a'), version(1, 'b', ['a']), version(2, 'c', ['a'])];
    expect(standing(notesOf(both))).toEqual([['b', 'c']]);
    expect(noteState(notesOf(both)[0]!)).toBe('conflict');
    expect(standing(notesOf([...both, version(3, 'd', ['b', 'c'])]))).toEqual([['d']]);
  });

  test('taking back beside an edit loses neither', () => {
    const notes = notesOf([version(0, 'a'), version(1, 'b', ['a'], { takenBack: true }), version(2, 'c', ['a'])]);
    expect(standing(notes)).toEqual([['b', 'c']]);
    expect(noteState(notes[0]!)).toBe('conflict');
    expect(noteState(notesOf([version(0, 'a'), version(1, 'b', ['a'], { takenBack: true })])[0]!)).toBe('taken back');
  });

  test('N1 N2: in whatever order people write and hear, nothing is lost, and what stands is what nobody followed', () => {
    fc.assert(
      fc.property(deeds, (done) => {
        const journal = played(done);
        const notes = notesOf(journal);
        const kept = notes.flatMap(({ versions }) => versions.map(({ id }) => id));
        expect([...kept].sort()).toEqual(journal.map(({ id }) => id).sort());
        const followed = new Set(journal.flatMap(({ edits }) => edits));
        expect(standing(notes).flat().sort()).toEqual(
          journal
            .map(({ id }) => id)
            .filter((id) => !followed.has(id))
            .sort(),
        );
        // Nobody's words go without somebody having seen them: what is followed was heard by who followed it.
        for (const { number, edits } of journal)
          for (const id of edits) expect(Number(id.slice(1))).toBeLessThan(number);
      }),
    );
  });

  test('N3: whoever has heard all settles every conflict', () => {
    fc.assert(
      fc.property(deeds, (done) => {
        const journal = played(done);
        for (const note of notesOf(journal)) {
          const edits = note.standing.map(({ id }) => id);
          journal.push(version(journal.length, `v${journal.length}`, edits));
        }
        for (const note of notesOf(journal)) expect(note.standing).toHaveLength(1);
      }),
    );
  });

  test('N4: the order in which versions become known does not matter', () => {
    fc.assert(
      fc.property(
        deeds
          .map(played)
          .chain((journal) =>
            fc.tuple(fc.constant(journal), fc.shuffledSubarray(journal, { minLength: journal.length })),
          ),
        ([journal, shuffled]) => {
          expect(notesOf(shuffled)).toEqual(notesOf(journal));
        },
      ),
    );
  });

  test('N4: a version that follows what is not known stands for itself', () => {
    expect(standing(notesOf([version(4, 'd', ['gone']), version(5, 'e', ['d'])]))).toEqual([['e']]);
  });

  test('a note of thousands of edits is walked once', () => {
    const chain = Array.from({ length: 20_000 }, (_, i) => version(i, `v${i}`, i === 0 ? [] : [`v${i - 1}`]));
    expect(standing(notesOf(chain.reverse()))).toEqual([['v19999']]);
  });
});
