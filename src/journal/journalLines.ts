/** The entries of a run as pages are told them, and which notes they may follow. */
import type { JournalLine } from '../live/messages.ts';
import { planProblems } from '../plan/job.ts';
import { converter, type UnitSystem } from '../units.ts';
import type { JournalEntry } from './journalSchema.ts';

export interface JournalLines {
  readonly lines: JournalLine[];
  /** Of the plan in force: a depth of a note is given in them. */
  units: UnitSystem;
  /** Of each version the oldest one of its note. */
  readonly noteOf: Map<string, string>;
}

export const createJournalLines = (units: UnitSystem): JournalLines => ({ lines: [], units, noteOf: new Map() });

/** @param effect what came of it, as the run says */
export function addEntry(journal: JournalLines, entry: JournalEntry, effect: string): JournalLine {
  const number = journal.lines.length;
  const line: JournalLine = { number, atMs: Date.parse(entry.at), by: entry.by, action: entry.action, text: effect };
  if (entry.action === 'note') {
    line.text = entry.text;
    line.note = noteIn(journal, entry, number);
  }
  if (entry.action === 'change plan' && planProblems(entry.plan).length === 0) journal.units = entry.plan.units;
  journal.lines.push(line);
  return line;
}

function noteIn(
  { units, noteOf }: JournalLines,
  entry: Extract<JournalEntry, { action: 'note' }>,
  number: number,
): NonNullable<JournalLine['note']> {
  // A file may hold notes without an id, or one id twice: each has its place in the journal.
  const id = entry.id !== undefined && !noteOf.has(entry.id) ? entry.id : `e${number}`;
  const edits = (entry.edits ?? []).filter((before) => noteOf.has(before));
  noteOf.set(id, edits[0] === undefined ? id : noteOf.get(edits[0])!);
  return {
    id,
    edits,
    takenBack: entry.takenBack === true,
    timeMs: entry.time === undefined ? null : Date.parse(entry.time),
    depth: entry.depth === undefined ? null : converter(units).in('length', entry.depth),
    joint: entry.joint ?? null,
  };
}

/** Why a note that is about to be entered cannot be meant; null: it can. */
export function noteProblem(
  { noteOf }: JournalLines,
  {
    id,
    edits = [],
    takenBack,
  }: { id?: string | undefined; edits?: string[] | undefined; takenBack?: true | undefined },
): string | null {
  if (id !== undefined && noteOf.has(id)) return `id: found ${id}, which is entered already, expected a new one`;
  const unknown = edits.find((before) => !noteOf.has(before));
  if (unknown !== undefined) return `edits: found ${unknown}, expected a note of this run`;
  if (new Set(edits.map((before) => noteOf.get(before))).size > 1) return 'edits: found several notes, expected one';
  if (takenBack && edits.length === 0) return 'edits: found nothing, expected the note that is taken back';
  return null;
}

/** The newest lines that fit into so many characters, oldest first; how many entries, and how many notes, are before them. */
export function newestLines(
  { lines }: JournalLines,
  mostChars: number,
): { readonly lines: JournalLine[]; readonly leftOut: number; readonly notesLeftOut: number } {
  let from = lines.length;
  let chars = 0;
  while (from > 0) {
    const { text, by } = lines[from - 1]!;
    chars += text.length + by.length + LINE_CHARS;
    if (chars > mostChars) break;
    from -= 1;
  }
  const notesLeftOut = lines.slice(0, from).filter(({ note }) => note?.edits.length === 0).length;
  return { lines: lines.slice(from), leftOut: from, notesLeftOut };
}
/** Of a line beside its words. */
const LINE_CHARS = 250;
