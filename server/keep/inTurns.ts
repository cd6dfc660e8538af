/** Long work in steps, between which the live run goes on. */

/** At most so long at a stretch, ms, beside the length of a step. */
const TURN_MS = 8;

export async function inTurns<T>(steps: Generator<void, T, undefined>): Promise<T> {
  let untilMs = performance.now() + TURN_MS;
  let step = steps.next();
  while (!step.done) {
    if (performance.now() >= untilMs) {
      await new Promise((resolve) => setImmediate(resolve));
      untilMs = performance.now() + TURN_MS;
    }
    step = steps.next();
  }
  return step.value;
}

/** The same at once. */
export function atOnce<T>(steps: Generator<void, T, undefined>): T {
  let step = steps.next();
  while (!step.done) step = steps.next();
  return step.value;
}
