import { configDefaults, defineConfig } from 'vitest/config';

// Two rooms: sync and schema are pure and run on bare Node, which proves that they need no browser, and since they keep
// nothing, file after file in one process; the phone's own code keeps signals, so each file of it gets a process and a document. The browser tests have a config of their own (vitest.e2e.config.ts): they need a built server.
/** For what has stopped, never for what is slow. Projects do not take it over from the config around them. */
const testTimeout = 120_000;

export default defineConfig({
  test: {
    // A suite that lost its tests must not pass in silence.
    passWithNoTests: false,
    projects: [
      {
        test: {
          name: 'sync',
          testTimeout,
          environment: 'node',
          isolate: false,
          include: ['sync/**/*.test.ts', 'schema/**/*.test.ts', 'pwa/tools/**/*.test.ts'],
          exclude: configDefaults.exclude,
        },
      },
      {
        test: {
          name: 'pwa',
          testTimeout,
          environment: 'happy-dom',
          include: ['pwa/**/*.test.{ts,tsx}'],
          exclude: [...configDefaults.exclude, 'pwa/tools/**', 'pwa/e2e/**'],
        },
      },
    ],
  },
});
