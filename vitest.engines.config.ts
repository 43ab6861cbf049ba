import { defineConfig } from 'vitest/config';

// Other engines than Chromium, apart from `npm test`: they are slower to start and not on every machine.
export default defineConfig({
  test: {
    name: 'engines',
    environment: 'node',
    include: ['pwa/e2e/engines/**/*.engine.ts'],
    passWithNoTests: false,
    fileParallelism: false,
    maxWorkers: 1,
    testTimeout: 300_000,
    hookTimeout: 120_000,
  },
});
