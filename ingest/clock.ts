/** Time as an argument: sources never read the wall clock themselves, so tests can hold it in their hands. */
export interface Clock {
  /** ms since 1970 UTC. */
  nowMs(): number;
  /** Calls `run` once, `ms` from now; the answer calls it off. */
  after(ms: number, run: () => void): () => void;
}

export const systemClock: Clock = {
  nowMs: () => Date.now(),
  after: (ms, run) => {
    const timer = setTimeout(run, ms);
    return () => clearTimeout(timer);
  },
};
