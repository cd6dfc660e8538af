/**
 * Actions of the journal that say something about the run and do nothing to it: the record is the same with and without
 * them. Apart from the schemas, so that what only counts a run need not load what judges entries.
 */
import type { JournalEntry } from './journalSchema.ts';

const ABOUT_THE_RUN: readonly JournalEntry['action'][] = ['sign', 'time code', 'handover remarks', 'handover'];

/** What is said of a run that is over: what people make of it, never what would have been done at the rig. */
const AFTERWARDS: readonly JournalEntry['action'][] = [...ABOUT_THE_RUN, 'accept', 'reject'];

export const isAfterwards = (action: string): boolean => (AFTERWARDS as readonly string[]).includes(action);

export const isAboutTheRun = (action: string): boolean => (ABOUT_THE_RUN as readonly string[]).includes(action);
