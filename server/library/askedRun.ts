/** The run that a request means: by its id, or by a name that only one has. */
import { isRunId, type ListedRun, type RunLibrary } from '../keep/runLibrary.ts';
import { findRun } from '../recording/findRun.ts';

/** @throws Fault `bad option` when there is none, or the name is that of several */
export function askedRun(library: RunLibrary, said: string): Pick<ListedRun, 'id'> {
  if (isRunId(said) && library.has(said)) return { id: said };
  return findRun(library.list(), said);
}
