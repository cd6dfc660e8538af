/** A run of the library read back as it was recorded: its plan, what people did, its bytes in order. */
import { Fault } from '../../src/fault.ts';
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import { journalEntrySchema } from '../../src/journal/journalSchema.ts';
import type { Damage, ReadFrom } from '../keep/readLog.ts';
import type { RunReader } from '../keep/runReader.ts';
import { parseJson } from '../plan/parseJson.ts';
import { planFrom, type ReadPlan } from '../plan/readPlan.ts';
import { type KeptSource, readKeptSource } from './keptSource.ts';

/** The source is told of among the first records of a run: who it is, its plan, its source. */
const SOURCE_WITHIN = 16;

export interface KeptBytes {
  readonly number: number;
  /** Of the chain there. */
  readonly hash: Uint8Array;
  readonly bytes: Uint8Array;
  /** NaN for a recorded stream. */
  readonly arrivalMs: number;
}

/** The plan that the run began with. @throws Fault `file unreadable`, `bad plan` */
export function keptPlan(run: RunReader): ReadPlan & { readonly text: string } {
  const { id, name } = run.info();
  const text = run.plans()[0]?.text;
  if (text === undefined) throw new Fault('file unreadable', `run ${name || id}: found no plan, expected one`);
  const file = `plan of run ${name || id}`;
  return { ...planFrom(file, parseJson(file, text)), text };
}

/** Null: the run ended before its source was told of, and has no bytes. */
export function keptSource(run: RunReader): KeptSource | null {
  for (const item of run.read(null, SOURCE_WITHIN)) {
    if (item.kind !== 'record' || item.record.kind !== 'link') continue;
    const source = readKeptSource(item.record.bytes);
    if (source) return source;
  }
  return null;
}

/** In the order in which it is worked in: by instant, and what bears the same one as it was entered. */
export function keptJournal(run: RunReader): JournalEntry[] {
  const entries = run.journal().flatMap(({ entry }) => {
    const parsed = journalEntrySchema.safeParse(JSON.parse(entry));
    return parsed.success ? [parsed.data] : [];
  });
  return entries.sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
}

/** Bytes as they came, behind a record. What is damaged is left out, a hole, and told to `onDamage` in its place. */
export function* keptBytes(
  run: RunReader,
  arrival: KeptSource['arrival'],
  behind: { readonly number: number; readonly place: ReadFrom | null } = { number: 0, place: null },
  onDamage: (damage: Damage) => void = () => {},
): Generator<KeptBytes> {
  for (const item of run.read(behind.place)) {
    if (item.kind === 'damage') onDamage(item.damage);
    if (item.kind !== 'record' || item.record.kind !== 'bytes' || item.record.number <= behind.number) continue;
    const { number, hash, bytes, arrivalMs } = item.record;
    yield { number, hash, bytes, arrivalMs: arrival === 'none' ? Number.NaN : arrivalMs };
  }
}
