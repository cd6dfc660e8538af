/**
 * Keeps the engine's room for young objects from doubling late. V8 doubles it whenever as much as it holds has ever outlived
 * a collection since the last time, so on a run of days the last doubling, 16 MB, comes on the third day and looks like a leak.
 * Half of its greatest size is reached within the first hour and is enough for the service: there it is held.
 */
import { getHeapSpaceStatistics, setFlagsFromString } from 'node:v8';
import type { Observable } from 'rxjs';

/** Two halves of 8 MB each: objects are allocated in one and copied into the other. */
const HELD_BYTES = 16 * 1024 * 1024;
/** A look at the sizes takes some 10 µs. */
const CHANGES_A_LOOK = 16;

const youngBytes = (): number =>
  getHeapSpaceStatistics().find(({ space_name }) => space_name === 'new_space')?.space_size ?? 0;

/** @param changes something that happens as the service works: each is an occasion to look */
export function holdYoungSpace(changes: Observable<unknown>): void {
  let seen = 0;
  const looking = changes.subscribe(() => {
    seen += 1;
    if (seen % CHANGES_A_LOOK !== 0 || youngBytes() < HELD_BYTES) return;
    // Read by the engine at each growth: by how much. What it has already is left as it is.
    setFlagsFromString('--semi-space-growth-factor=1');
    looking.unsubscribe();
  });
}
