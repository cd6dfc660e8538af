/** How far a long reading is, on standard error when that is a terminal. */
const EVERY_MS = 200;

export interface Progress {
  at(bytes: number): void;
  done(): void;
}

/** @param done what is done with the bytes, in a word */
export function createProgress(totalBytes: number | undefined, shown: boolean, done = 'read'): Progress {
  if (!shown) return { at: () => {}, done: () => {} };
  let lastMs = -Infinity;
  return {
    at(bytes) {
      const nowMs = performance.now();
      if (nowMs - lastMs < EVERY_MS) return;
      lastMs = nowMs;
      const share = totalBytes ? `${Math.floor((100 * bytes) / totalBytes)} %` : `${Math.floor(bytes / 1e6)} MB`;
      process.stderr.write(`\r${share} ${done}`);
    },
    done: () => process.stderr.write('\r\x1b[K'),
  };
}
