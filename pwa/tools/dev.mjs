/**
 * `npm run dev`: the Go server behind Vite, which serves the app from its sources and reloads it. A change to Go code
 * needs a restart. The data is the same as `npm start` uses; there is no service worker.
 */
import { join } from 'node:path';
import { devSteps, root, runSteps, serve } from './steps.mjs';

await runSteps(devSteps);
// Only now is Vite sure to be installed.
const { createServer } = await import('vite');
const vite = await createServer({ configFile: join(root, 'vite.config.ts') });
await vite.listen();
vite.printUrls();
process.exitCode = await serve(['serve', '--data', join(root, 'data'), '--listen', '127.0.0.1:8081']);
await vite.close();
