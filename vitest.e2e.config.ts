import { defineConfig } from 'vitest/config';

// Three files at a time on two cores: a test waits as long as it works. The limits are for what has stopped.
export default defineConfig({
  test: {
    name: 'browser',
    environment: 'node',
    include: ['pwa/e2e/**/*.e2e.ts'],
    setupFiles: ['pwa/e2e/failed.ts'],
    passWithNoTests: false,
    maxWorkers: 3,
    // Files one after another in one process share the browser; each has nurseries of its own.
    isolate: false,
    testTimeout: 600_000,
    hookTimeout: 600_000,
    // Asking opens the phone's database each time, which is work that the phone then has beside its own.
    expect: { poll: { timeout: 60_000, interval: 250 } },
  },
});
