/** `npm start`: from a fresh clone, or from yesterday's, to a running server with the demo nursery. */
import { existsSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { bedwalk, buildSteps, command, root, runSteps, say, serve } from './steps.mjs';

const data = join(root, 'data');
const total = buildSteps.length + 2;

try {
  await runSteps(buildSteps, total);
  await fillOnce();
  say(total, total, 'serve (Ctrl-C ends it)');
  process.exitCode = await serve(['serve', '--data', data]);
} catch (error) {
  process.stderr.write(`${error instanceof Error ? error.message : error}\n`);
  process.exitCode = 1;
}

/** Grows the demo nursery only where there is no data, so that a second start finds the notes of the first. */
async function fillOnce() {
  if (existsSync(data)) return say(total - 1, total, 'demo nursery: already in data/');
  say(total - 1, total, 'grow the demo nursery in data/');
  // Ctrl-C reaches the command itself; this process outlives it to clear up.
  const outlive = () => {};
  process.on('SIGINT', outlive);
  try {
    await command(bedwalk, ['demo', '--data', data]);
  } catch (error) {
    // Half a nursery would be taken for a whole one by the next start.
    rmSync(data, { recursive: true, force: true });
    throw error;
  } finally {
    process.off('SIGINT', outlive);
  }
}
