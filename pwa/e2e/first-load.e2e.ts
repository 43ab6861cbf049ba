import { join } from 'node:path';
import { expect, test } from 'vitest';
import { firstScreen } from '../tools/sizes.mjs';
import { root } from '../tools/steps.mjs';
import { openNursery } from './harness.ts';

test('the first screen of a scout fetches no script that the size budget has not counted', async () => {
  const nursery = await openNursery({ demo: true });
  try {
    const scout = await nursery.phone('scout');
    await scout.opens('/');
    await scout.page.locator('main h1').waitFor();
    const counted = firstScreen(join(root, 'pwa', 'dist')).scripts;
    expect((await scout.scripts()).filter((script) => !counted.includes(script))).toEqual([]);
  } finally {
    await nursery.close();
  }
});
