/** Which run of a library is meant: an id, or a name that only one has. */
import { Fault } from '../../src/fault.ts';
import type { ListedRun } from '../keep/runLibrary.ts';

/** @throws Fault `bad option` when there is none, or the name is that of several */
export function findRun<Run extends Pick<ListedRun, 'id' | 'name'>>(runs: readonly Run[], said: string): Run {
  const byId = runs.find(({ id }) => id === said);
  if (byId) return byId;
  const named = runs.filter(({ name }) => name === said);
  if (named.length === 1) return named[0]!;
  if (named.length === 0) throw new Fault('bad option', `run "${said}": found no run of this id or name, expected one`);
  const ids = named.map(({ id }) => id).join(', ');
  throw new Fault('bad option', `run "${said}": found ${named.length} of this name, expected an id: ${ids}`);
}
