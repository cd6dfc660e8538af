/** The files that a run is judged by: plan, channel map, journal; what is odd in them goes to standard error. */
import type { JournalEntry } from '../../src/journal/journalSchema.ts';
import { readChannelMap } from '../plan/readChannelMap.ts';
import { readJournal } from '../plan/readJournal.ts';
import { type ReadPlan, readPlan } from '../plan/readPlan.ts';
import { withChannels } from '../plan/withChannels.ts';
import { needed } from './options.ts';

export interface RunInputs extends ReadPlan {
  /** The plan as a run keeps it: as it was given, or, where a channel map wins over it, with that. */
  readonly text: string;
  readonly journal: readonly JournalEntry[];
}

export interface InputFiles {
  readonly plan: string | undefined;
  readonly channels: string | undefined;
  readonly journal: string | undefined;
}

/** @throws Fault of the file that cannot be used. */
export async function readInputs(files: InputFiles): Promise<RunInputs> {
  const planFile = needed('plan', files.plan, 'the file of the plan');
  const map = files.channels === undefined ? undefined : await readChannelMap(files.channels);
  const read = await readPlan(planFile, map?.channels);
  const journal = files.journal === undefined ? [] : await readJournal(files.journal, read.plan);
  const warnings = [...(map?.warnings ?? []), ...read.warnings];
  for (const warning of warnings) process.stderr.write(`${warning}\n`);
  return { ...read, text: map ? withChannels(read.plan, map.channels) : read.text, warnings, journal };
}
