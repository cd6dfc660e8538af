/** Tells the pages what is entered into the journal of a run: each entry once as it is worked in, the newest to who comes later. */

import { addEntry, createJournalLines, type JournalLines, newestLines } from '../../src/journal/journalLines.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import { type JournalLine, LIVE_LIMITS, type SnapshotMessage } from '../../src/live/messages.ts';
import type { Run } from '../../src/pipeline/run.ts';
import type { UnitSystem } from '../../src/units.ts';

type Worked = Pick<Run['journal'], 'entries'>;

export class EntryTeller {
  readonly journal: JournalLines;
  #new: JournalLine[] = [];

  /** @param before entries that were worked in before, and what came of them */
  constructor(units: UnitSystem, before: readonly JournalEntry[], worked: Worked) {
    this.journal = createJournalLines(units);
    before.forEach((entry, i) => {
      addEntry(this.journal, entry, worked.entries[i]!.text);
    });
  }

  /** An entry that has just been worked in. */
  take(entry: JournalEntry, worked: Worked): void {
    this.#new.push(addEntry(this.journal, entry, worked.entries.at(-1)!.text));
  }

  /** Those since the last call; null for none. */
  takeNew(): JournalLine[] | null {
    if (this.#new.length === 0) return null;
    const lines = this.#new;
    this.#new = [];
    return lines;
  }

  newest(): NonNullable<SnapshotMessage['journal']> {
    return newestLines(this.journal, LIVE_LIMITS.journalChars);
  }
}
