import { defineConfig } from 'vitest/config';

// One browser and one server at a time: two phones in one test are load enough. The limits are for what has stopped.
export default defineConfig({
  test: {
    name: 'browser',
    environment: 'node',
    include: ['pwa/e2e/**/*.e2e.ts'],
    passWithNoTests: false,
    fileParallelism: false,
    maxWorkers: 1,
    testTimeout: 600_000,
    hookTimeout: 600_000,
    expect: { poll: { timeout: 60_000 } },
  },
});
