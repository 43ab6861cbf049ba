/** Two tabs with one half-filled form or one open pot: whatever the second says is kept, and the first stands. */
import { expect, test } from 'vitest';
import { Nursery, openTab } from '../nursery.testing';

const DEVICE = '00000000000000d1';
const [walk, bed, lot, pot] = ['1'.repeat(32), '2'.repeat(32), '3'.repeat(32), '4'.repeat(32)];

async function twoTabs() {
  const first = await openTab(new Nursery(), DEVICE);
  return [first, await openTab(new Nursery(), DEVICE, { disk: first.disk })] as const;
}

test('a pot that another tab saved with other answers is corrected, and both are kept', async () => {
  const [first, second] = await twoTabs();
  const draft = { walk, bed, id: pot, trait: 'buds', now: { walk, bed, lot, head_a_mm: 315 }, before: [] };
  const one = await first.draft.settle({ ...draft, now: { ...draft.now, buds: 42 } });
  const two = await second.draft.settle({ ...draft, now: { ...draft.now, buds: 24 } });
  const three = await first.draft.settle({ ...draft, now: { ...draft.now, buds: 25 } });
  expect([one?.entry.kind, two?.entry.kind, three?.entry.kind]).toEqual(['observation', 'correction', 'correction']);
  expect(two?.entry.body).toMatchObject({ pot, replaces: pot, now: { buds: 24 } });
  expect(await first.draft.draftOf(walk)).toBeUndefined();
  const seen = (await first.read.potsOfWalk(walk)) ?? [];
  expect(seen).toHaveLength(1);
  expect(seen[0]).toMatchObject({ id: pot, versions: 3, now: { buds: 25 } });
});

test('a correction that another tab made of the same pot is corrected in turn', async () => {
  const [first, second] = await twoTabs();
  const draft = { walk, bed, id: pot, trait: 'buds', now: { walk, bed, lot, buds: 42 }, before: [] };
  await first.draft.settle(draft);
  const open = { ...draft, id: '5'.repeat(32), pot, replaces: pot };
  await second.draft.settle({ ...open, now: { ...draft.now, buds: 43 } });
  const last = await first.draft.settle({ ...open, now: { ...draft.now, buds: 44 } });
  expect(last?.entry.body).toMatchObject({ pot, replaces: open.id, now: { buds: 44 } });
  expect((await first.read.potsOfWalk(walk))?.[0]).toMatchObject({ versions: 3, now: { buds: 44 } });
});

test('the same pot saved twice with the same answers is one note', async () => {
  const [first, second] = await twoTabs();
  const draft = { walk, bed, id: pot, trait: 'buds', now: { walk, bed, lot, buds: 42 }, before: [] };
  const one = await first.draft.settle(draft);
  const two = await second.draft.settle(draft);
  expect(two?.entry).toEqual(one?.entry);
  expect(await first.pending()).toBe(1);
});
