import { join } from 'node:path';
import { expect, test } from 'vitest';
import { firstScreen } from '../tools/sizes.mjs';
import { root } from '../tools/steps.mjs';
import { openSmallNursery, walkOfFirstBed } from './small.ts';
import { hasEverything, seesBeds } from './walking.ts';

/** Before this many milliseconds the app fetches nothing ahead for later screens (main.tsx). */
const AHEAD_MS = 10_000;

/**
 * On a phone that has read everything: as long as walks arrive, or one is under way, their beds are computed in the background, and
 * that takes the script of a walk, sooner or later.
 */
test('the first screen of a scout fetches no script that the size budget has not counted', async () => {
  const nursery = await openSmallNursery(walkOfFirstBed([{ buds: 40 }, { buds: 42 }]));
  try {
    const scout = await nursery.phone('scout');
    await hasEverything(scout);
    await scout.opens('/');
    await scout.page.locator('.tile.few').waitFor();
    await scout.opens('/');
    await seesBeds(scout);
    const counted = firstScreen(join(root, 'pwa', 'dist')).scripts;
    await expect.poll(async () => (await scout.scripts(AHEAD_MS)).length).toBeGreaterThanOrEqual(counted.length);
    // The records have been read and the sync worker has looked for news.
    await hasEverything(scout);
    expect((await scout.scripts(AHEAD_MS)).filter((script) => !counted.includes(script))).toEqual([]);
  } finally {
    await nursery.close();
  }
});
