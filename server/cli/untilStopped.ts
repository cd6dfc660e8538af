/** Resolves when the user or the system asks the program to stop; a second time ends it at once. */
export function untilStopped(): Promise<void> {
  return new Promise((resolve) => {
    const stop = () => {
      process.once('SIGINT', () => process.exit(1));
      process.once('SIGTERM', () => process.exit(1));
      resolve();
    };
    process.once('SIGINT', stop);
    process.once('SIGTERM', stop);
  });
}
