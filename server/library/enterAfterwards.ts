/** What is still entered into a run that is over: what people say of it. It is opened for that entry and sealed again. */
import { Fault } from '../../src/fault.ts';
import { isAfterwards } from '../../src/journal/aboutTheRun.ts';
import { JOURNAL_LIMITS, type JournalEntry } from '../../src/journal/journalSchema.ts';
import type { RunLibrary } from '../keep/runLibrary.ts';

/** @throws Fault `bad journal` for what would have been done at the rig, `cannot write` */
export async function enterAfterwards(library: RunLibrary, id: string, entry: JournalEntry): Promise<void> {
  const run = library.read(id);
  try {
    const { name } = run.info();
    if (!isAfterwards(entry.action)) {
      throw new Fault(
        'bad journal',
        `run ${name}: found it closed, expected an open one for "${entry.action}"; reopen it to enter more`,
      );
    }
    const kept = run.journal().reduce((sum, one) => sum + Buffer.byteLength(one.entry), 0);
    if (kept + Buffer.byteLength(JSON.stringify(entry)) > JOURNAL_LIMITS.bytes) {
      const { bytes } = JOURNAL_LIMITS;
      throw new Fault('cannot write', `the journal: found no room for the entry, expected at most ${bytes} bytes`);
    }
  } finally {
    run.close();
  }
  await library.enter(id, entry);
}
