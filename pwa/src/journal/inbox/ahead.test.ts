/** A long pull asks for the next page while it keeps one; what was asked for too early is not counted in. */
import { expect, test } from 'vitest';
import { Closing } from '../letgo/closing.testing';
import { openTab } from '../nursery.testing';

const DEVICE = '00000000000000aa';
const PULL = '/api/pull';

function seasonOf(notes: number): Closing {
  const nursery = new Closing();
  for (let i = 0; i < notes; i++) nursery.hears('note', { words: `note ${i}` });
  return nursery;
}

const pulls = (nursery: Closing) => nursery.asked.filter((path) => path === PULL).length;

test('the next page has been asked for when one is kept, and the last one asks for none', async () => {
  const nursery = seasonOf(700);
  const phone = await openTab(nursery, DEVICE);
  const asked: number[] = [];
  const cursor = await phone.pull.pullAll(async () => void asked.push(pulls(nursery)));
  expect(cursor.position).toBe(700);
  expect(asked).toEqual([2, 3, 3]);
});

test('a page that was asked for before another tab read on is not counted twice', async () => {
  const nursery = seasonOf(700);
  const phone = await openTab(nursery, DEVICE);
  const other = await openTab(nursery, DEVICE, { disk: phone.disk });
  let pages = 0;
  await phone.pull.pullAll(async () => {
    if (pages++ === 0) await other.pull.pullAll(async () => undefined);
  });
  await phone.syncs();
  // The first digest already: what was counted twice would be found and mended.
  expect(nursery.digests).toEqual([{ equal: true, records: true }]);
});

test('a page that was asked for before the server was set back is not kept', async () => {
  const nursery = seasonOf(50);
  const setBack = nursery.backup();
  for (let i = 50; i < 700; i++) nursery.hears('note', { words: `note ${i}` });
  const phone = await openTab(nursery, DEVICE);
  let pages = 0;
  const cursor = await phone.pull.pullAll(async () => {
    if (pages++ > 0) return;
    setBack();
    await phone.syncs();
  });
  expect([cursor.epoch, cursor.position]).toEqual([nursery.epoch, 50]);
});
