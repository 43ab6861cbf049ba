import { defineConfig } from 'vite';
import { serviceWorker } from './pwa/tools/service-worker.ts';

// Where `npm run dev` starts the Go server; the app itself always speaks to its own origin.
const server = process.env['BEDWALK_DEV_SERVER'] ?? 'http://127.0.0.1:8081';

export default defineConfig({
  root: 'pwa',
  plugins: [serviceWorker({ entry: 'src/sw/sw.ts' })],
  build: {
    outDir: 'dist',
    emptyOutDir: true,
    // The size budgets follow the imports from the entry, so they need the list of what became of each source file.
    manifest: true,
    target: 'es2022',
    // A browser of before 2024 fetches a module a little later without it; nothing else is lost.
    modulePreload: { polyfill: false },
    rolldownOptions: {
      // So that a screen which takes one room's words from rooms.ts does not load every room's.
      treeshake: { moduleSideEffects: (id) => !/pwa[\\/]src[\\/]words[\\/]/.test(id) },
      output: {
        codeSplitting: {
          // A cold start on a slow phone pays for each file that it asks for: one for the first screen, one for a walk.
          groups: [
            { name: 'first', tags: ['$initial'], priority: 2 },
            { name: 'walking', test: /screens[\\/]scout[\\/]walking\.ts$/, priority: 1 },
          ],
        },
      },
    },
    // Every file is hashed and precached as a file; an inlined copy would be fetched twice by another route.
    assetsInlineLimit: 0,
  },
  // A module worker, as syncClient.ts starts it: what it seldom needs is a file of its own, all else is one.
  worker: {
    format: 'es',
    rolldownOptions: {
      output: {
        codeSplitting: { groups: [{ name: 'syncing', tags: ['$initial'] }] },
        // What tells a bundler that a call has no effect is of no use in a bundle; left in, it would be 0.1 KB of the first screen.
        comments: { annotation: false },
      },
    },
  },
  server: {
    port: 5173,
    strictPort: true,
    proxy: { '/api': { target: server, ws: true } },
  },
});
