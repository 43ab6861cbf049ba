/** `npm run bench`: every bench that there is, the small ones first. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { bundled, Figures, goBench, inBrowser, inFolder, machine, prepare, print, printed } from './bench/run.mjs';
import { command } from './steps.mjs';

/** A frame: what is reckoned after a tap must be there with the next picture. */
const FRAME_MS = 16;

await prepare();
const figures = new Figures();
await inFolder(async (folder) => {
  const walk = join(folder, 'walk.json');
  const steps = await printed(goBench, ['micro', '--walk', walk]);
  figures.take(steps);
  print(`\n${machine()}\nSteps of package sync, one core; a note is an observation\n`);
  for (const text of steps.trimEnd().split('\n')) {
    const { name } = JSON.parse(text);
    print(`  ${name.padEnd(40)} ${figures.text(name)}`);
  }
  await scoreOnAPhone(walk);
});
for (const script of ['bench-phone.mjs', 'bench-sync.mjs']) await command('node', [join('pwa', 'tools', script)]);

/** @param {string} walk */
async function scoreOnAPhone(walk) {
  const chromium = process.env['CHROMIUM'] ?? '/usr/bin/chromium';
  if (!existsSync(chromium)) {
    print(`  THE PHONE'S SCORE LEFT OUT: no Chromium at ${chromium}; name yours with CHROMIUM=/path/to/chromium`);
    return;
  }
  const script = await bundled('score.ts', 'page');
  for (let run = 0; run < 5; run++) figures.take(await inBrowser((browser) => browser.measureScore(script, walk)));
  print("\nThe phone's score of a walk of 60 pots, Chromium at a quarter of its speed\n");
  for (const name of ['phone score first', 'phone score median', 'phone score p95']) {
    const reached = figures.median(name) <= FRAME_MS ? 'reached' : 'MISSED';
    print(`  ${name.padEnd(40)} ${figures.text(name)}; aim at most ${FRAME_MS} ms: ${reached}`);
  }
}
