import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    globalSetup: ['tests/support/build.ts'],
    setupFiles: ['tests/support/seed.ts'],
    // Tests open sockets and start the built program: a process of its own for each file, two at a time on two cores.
    pool: 'forks',
    maxWorkers: 2,
    // Waits have limits and words of their own (tests/support/pages.ts); these only end what hangs, on a busy machine too.
    testTimeout: 120_000,
    hookTimeout: 120_000,
    teardownTimeout: 10_000,
  },
});
