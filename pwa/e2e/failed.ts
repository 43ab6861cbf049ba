/**
 * What a failed browser test leaves on the screens of its devices, printed with it: a wait that came to nothing says only what it
 * waited for, and what fails one time in a hundred on another machine is not seen again.
 */
import { afterEach } from 'vitest';
import { inUse } from './harness.ts';

/** A page that has stopped cannot be asked. */
const PATIENCE_MS = 10_000;

afterEach(async ({ task }) => {
  if (task.result?.state !== 'fail') return;
  const screens = [...inUse].map((device) => Promise.race([device.shows(), tooLong()]));
  throw new Error(`the screens then:\n${(await Promise.all(screens)).join('\n')}`);
});

async function tooLong(): Promise<string> {
  await new Promise((done) => setTimeout(done, PATIENCE_MS));
  return 'a page that does not answer';
}
