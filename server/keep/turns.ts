/** Gives way to others now and then, for long work that waits between its pieces anyway. */

/** Others have their turn after so long, ms. */
const TURN_MS = 8;

/** @returns to be waited for between two pieces: mostly at once */
export function turns(): () => Promise<void> {
  let untilMs = performance.now() + TURN_MS;
  return async () => {
    if (performance.now() < untilMs) return;
    await new Promise((resolve) => setImmediate(resolve));
    untilMs = performance.now() + TURN_MS;
  };
}
