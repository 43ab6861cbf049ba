import { configDefaults, defineConfig } from 'vitest/config';

// Rooms: sync and schema are pure and run on bare Node, which proves that they need no browser, and since they keep
// nothing, file after file in one process; the phone's own code keeps signals, so each
// file of it gets a world and a document. The browser tests have a config of their own (vitest.e2e.config.ts): they need a
// built server.
/** For what has stopped, never for what is slow. Projects do not take it over from the config around them. */
const testTimeout = 600_000;
const setupFiles = ['pwa/tools/channels.ts'];

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
        // A linked node_modules lies elsewhere.
        server: { fs: { strict: false } },
        test: {
          name: 'pwa',
          testTimeout,
          environment: 'happy-dom',
          // A world of its own for each file, in a thread that stays: as apart as processes, without loading the document's code
          // for each again, which was three quarters of the work.
          pool: 'vmThreads',
          setupFiles,
          include: ['pwa/**/*.test.ts'],
          exclude: [...configDefaults.exclude, 'pwa/tools/**', 'pwa/e2e/**'],
        },
      },
      {
        test: {
          name: 'drawn',
          testTimeout,
          environment: 'happy-dom',
          // Not in worlds: what @testing-library/preact needs (async-function) has a require.mjs, which Node reads and vitest's worlds do not.
          pool: 'threads',
          setupFiles: [...setupFiles, 'pwa/tools/patience.ts'],
          include: ['pwa/**/*.test.tsx'],
          exclude: configDefaults.exclude,
        },
      },
    ],
  },
});
