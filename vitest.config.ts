import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    globalSetup: ['tests/support/build.ts'],
    setupFiles: ['tests/support/seed.ts'],
    // Tests open sockets and start the built program: a process of its own for each file, two at a time on two cores.
    pool: 'forks',
    maxWorkers: 2,
    testTimeout: 30_000,
    hookTimeout: 60_000,
    teardownTimeout: 10_000,
  },
});
