/** A journal file: JSON Lines of what people did; returned in the order of its instants. */
import { Fault } from '../../src/fault.ts';
import { JOURNAL_LIMITS, type JournalEntry, journalEntrySchema } from '../../src/journal/journalSchema.ts';
import { planProblems } from '../../src/plan/job.ts';
import type { Plan } from '../../src/plan/planSchema.ts';
import { parseJson } from './parseJson.ts';
import { readBounded } from './readBounded.ts';
import { schemaFaults, shown } from './schemaFaults.ts';

/** Names that an entry may refer to: those of the plan and of every plan that the journal brings in. */
class KnownNames {
  readonly tools = new Set<string>();
  readonly joints = new Set<string>();
  readonly balls = new Set<string>();
  add(plan: Plan): void {
    for (const tool of plan.tools) this.tools.add(tool.name);
    for (const joint of plan.liner.joints) this.joints.add(joint.name);
    for (const ball of plan.balls ?? []) this.balls.add(ball.name);
  }
}

function entryFaults(entry: JournalEntry, known: KnownNames): string[] {
  const among = (place: string, name: string, names: Set<string>) =>
    names.has(name)
      ? []
      : [
          `${place}: found ${shown(name)}, expected ${names.size > 0 ? `one of ${[...names].join(', ')}` : 'none: the plan has none'}`,
        ];
  switch (entry.action) {
    case 'set depth':
      return among('tool', entry.tool, known.tools);
    case 'accept':
    case 'reject':
      return among('joint', entry.joint, known.joints);
    case 'drop ball':
      return among('ball', entry.ball, known.balls);
    case 'change plan': {
      const problems = planProblems(entry.plan).map((problem) => `plan.${problem.path}: ${problem.text}`);
      if (problems.length === 0) known.add(entry.plan);
      return problems;
    }
    default:
      return [];
  }
}

function readLine(file: string, number: number, line: string, known: KnownNames): JournalEntry {
  const at = `${file}: line ${number}`;
  if (line.length > JOURNAL_LIMITS.lineBytes) {
    throw new Fault(
      'bad journal',
      `${at}: found ${line.length} characters, expected at most ${JOURNAL_LIMITS.lineBytes}`,
    );
  }
  let value: unknown;
  try {
    value = parseJson(file, line);
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    throw new Fault('bad journal', error.message.replace(/: line 1, /, `: line ${number}, `));
  }
  const parsed = journalEntrySchema.safeParse(value);
  const faults = parsed.success ? entryFaults(parsed.data, known) : schemaFaults(parsed.error.issues, value);
  if (!parsed.success || faults.length > 0) {
    throw new Fault('bad journal', faults.map((fault) => `${at}: ${fault}`).join('\n'));
  }
  return parsed.data;
}

/**
 * @param plan the plan that the journal speaks of.
 * @throws Fault `file unreadable`, `file too large`, `not json` (not UTF-8), `bad journal`.
 */
export async function readJournal(file: string, plan: Plan): Promise<JournalEntry[]> {
  return journalFrom(file, await readBounded(file, JOURNAL_LIMITS.bytes, 'a journal'), plan);
}

/** The same from the text of the file. @throws Fault `bad journal` */
export function journalFrom(file: string, text: string, plan: Plan): JournalEntry[] {
  const known = new KnownNames();
  known.add(plan);
  const entries: JournalEntry[] = [];
  text.split('\n').forEach((line, i) => {
    if (line.trim() !== '') entries.push(readLine(file, i + 1, line, known));
  });
  return entries.sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
}
