import { defineConfig } from 'vitest/config';

// One browser and one server at a time: the tests measure times, and two phones in one test are load enough.
export default defineConfig({
  test: {
    name: 'browser',
    environment: 'node',
    include: ['pwa/e2e/**/*.e2e.ts'],
    passWithNoTests: false,
    fileParallelism: false,
    maxWorkers: 1,
    testTimeout: 120_000,
    hookTimeout: 180_000,
  },
});
