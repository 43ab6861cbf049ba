/** What a phone promises about its notes, whatever the network and the server do. */
import { afterEach, expect, test, vi } from 'vitest';
import { Nursery, openTab } from './nursery.testing';

const DEVICE = '00000000000000d1';
const OTHER = '00000000000000d2';

afterEach(() => {
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
  localStorage.clear();
});

test('notes keep their order, and each is chained to the one before', async () => {
  const phone = await openTab(new Nursery(), DEVICE);
  const saved = [await phone.writes('one'), await phone.writes('two'), await phone.writes('three')];
  expect(saved.map(({ entry }) => entry.seq)).toEqual([1, 2, 3]);
  const rows = await Promise.all(saved.map(({ entry }) => phone.entry(entry.id)));
  expect(new Set(rows.map((row) => row?.chain)).size).toBe(3);
  expect(rows.map((row) => row?.pending)).toEqual([
    [1, 1],
    [1, 2],
    [1, 3],
  ]);
});

test('a note is at the server after one round, and stays on the phone with its stamp', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  const { entry } = await phone.writes('one');
  await phone.syncs();
  expect(nursery.journal.map((item) => item.entry)).toEqual([entry]);
  const row = await phone.entry(entry.id);
  expect(row).toMatchObject({ position: 1, stamp: { quality: 'exact' } });
  expect(row?.pending).toBeUndefined();
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test.each(['offline', '500', '429', '401', 'portal', '204', 'half', 'lost_answer', 'cut'] as const)(
  'with "%s" in place of an answer nothing counts as delivered, and all goes when the server is back',
  async (trouble) => {
    const nursery = new Nursery();
    const phone = await openTab(nursery, DEVICE);
    await phone.writes('one');
    await phone.writes('two');
    nursery.trouble = trouble;
    await phone.syncs();
    expect(await phone.pending()).toBe(2);
    nursery.trouble = 'none';
    await phone.syncs();
    expect(await phone.pending()).toBe(0);
    expect(nursery.journal).toHaveLength(2);
  },
);

test.each(['slow', 'stalled'] as const)(
  'a server that is "%s" beyond what the phone waits is no portal: it is waited for longer each time, and takes each note once',
  async (trouble) => {
    const nursery = new Nursery();
    const phone = await openTab(nursery, DEVICE);
    await phone.syncs();
    const waits: number[] = [];
    vi.spyOn(AbortSignal, 'timeout').mockImplementation((ms) => {
      waits.push(ms);
      const waiting = new AbortController();
      if (nursery.trouble === trouble) setTimeout(() => waiting.abort(new DOMException('', 'TimeoutError')));
      return waiting.signal;
    });
    await phone.writes('one');
    await phone.writes('two');
    nursery.trouble = trouble;
    for (let tries = 0; tries < 5; tries++) await phone.syncs();
    expect(phone.sync.syncStatus.value.state).toBe('slow');
    expect(await phone.pending()).toBe(2);
    expect(waits).toEqual([30_000, 60_000, 120_000, 240_000, 240_000]);
    nursery.trouble = 'none';
    await phone.syncs();
    expect(await phone.pending()).toBe(0);
    expect(nursery.journal).toHaveLength(2);
    expect(waits.at(-1)).toBe(30_000);
  },
);

test('an answer that breaks off is no portal either', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  await phone.writes('one');
  nursery.trouble = 'cut';
  await phone.syncs();
  expect(phone.sync.syncStatus.value.state).toBe('offline');
  expect(await phone.pending()).toBe(1);
});

test('nothing to show for a pairing is no error on a phone that never had one, and no farewell to one that has', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  nursery.trouble = '204';
  await phone.syncs();
  expect(phone.sync.syncStatus.value.state).toBe('portal');
  await (await phone.base.base()).delete('meta', 'me');
  await phone.syncs();
  expect(phone.sync.syncStatus.value.state).toBe('unpaired');
});

test('a failed round is tried again by itself, without another note', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'Date'] });
  try {
    await phone.writes('one');
    nursery.trouble = '500';
    await phone.syncs();
    nursery.trouble = 'none';
    expect(await phone.pending()).toBe(1);
    await vi.advanceTimersByTimeAsync(10 * 60_000);
  } finally {
    vi.useRealTimers();
  }
  await vi.waitFor(async () => expect(await phone.pending()).toBe(0));
  // A round still under way would meet the next test's server.
  await vi.waitFor(() => expect(phone.sync.syncStatus.value.state).toBe('resting'));
});

test('two tabs share one sequence', async () => {
  const nursery = new Nursery();
  const first = await openTab(nursery, DEVICE);
  const second = await openTab(nursery, DEVICE, { disk: first.disk });
  const saved = await Promise.all([
    first.write.note('note', { words: 'a' }),
    second.write.note('note', { words: 'b' }),
    first.write.note('note', { words: 'c' }),
    second.write.note('note', { words: 'd' }),
  ]);
  expect(saved.map(({ entry }) => entry.seq).sort()).toEqual([1, 2, 3, 4]);
  await first.syncs();
  expect(nursery.journal).toHaveLength(4);
});

test('a save that is cut off leaves nothing behind, and no hole in the sequence', async () => {
  const phone = await openTab(new Nursery(), DEVICE);
  await phone.writes('one');
  await expect(
    phone.write.save([phone.write.intent('note', { words: 'cut' })], async (work) => work.abort()),
  ).rejects.toMatchObject({ name: 'NotSaved', kept: 'stash' });
  expect(await phone.pending()).toBe(1);
  const { entry } = await phone.writes('three');
  expect(entry.seq).toBe(2);
});

test('a full phone says so, and the note is set aside until there is room', async () => {
  const phone = await openTab(new Nursery(), DEVICE);
  const kept = phone.write.intent('note', { words: 'full' });
  const full = async () => {
    throw new DOMException('full', 'QuotaExceededError');
  };
  await expect(phone.write.save([kept], full)).rejects.toMatchObject({ code: 'full', kept: 'stash' });
  expect(phone.stash.stash.value).toMatchObject([kept]);
  expect(JSON.parse(localStorage.getItem('bedwalk-emergency') ?? '[]')).toMatchObject([kept]);
  await phone.write.save([kept]);
  expect(phone.stash.stash.value).toEqual([]);
  await phone.write.save([kept]);
  expect(await phone.pending()).toBe(1);
});

test('a database connection that the browser dropped is opened again, and the note saved', async () => {
  const phone = await openTab(new Nursery(), DEVICE);
  await phone.writes('one');
  (await phone.base.base()).close();
  const { entry } = await phone.writes('two');
  expect(entry.seq).toBe(2);
  expect(await phone.pending()).toBe(2);
});

test('a phone whose answer got lost sends again and counts once', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  await phone.writes('one');
  await phone.syncs();
  await phone.writes('two');
  nursery.trouble = 'lost_answer';
  await phone.syncs();
  expect(nursery.journal).toHaveLength(2);
  nursery.trouble = 'none';
  await phone.syncs();
  expect(nursery.journal).toHaveLength(2);
  expect(await phone.pending()).toBe(0);
});

test('two phones end with the same records', async () => {
  const nursery = new Nursery();
  const [first, second] = [await openTab(nursery, DEVICE), await openTab(nursery, OTHER, { person: 'b'.repeat(32) })];
  const { entry: one } = await first.writes('from the first');
  const { entry: two } = await second.writes('from the second');
  for (const phone of [first, second, first]) await phone.syncs();
  for (const key of [`fact:${one.id}`, `fact:${two.id}`]) {
    expect(await first.record(key)).toEqual(await second.record(key));
    expect(await first.record(key)).toBeDefined();
  }
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('a restored backup gets back what it lost, and nothing is there twice', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  await phone.writes('before');
  await phone.syncs();
  const restore = nursery.backup();
  await phone.writes('after');
  await phone.writes('after too');
  await phone.syncs();
  expect(nursery.journal).toHaveLength(3);
  restore();
  expect(nursery.journal).toHaveLength(1);
  await phone.syncs();
  expect(nursery.journal.map((item) => (item.entry as { body: { words: string } }).body.words)).toEqual([
    'before',
    'after',
    'after too',
  ]);
  expect(await phone.pending()).toBe(0);
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
});

test('a copied phone takes new numbers, and the notes of both copies are kept', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  await phone.writes('shared');
  await phone.syncs();
  // The copy: another database with the same device, set back to the shared note.
  const copy = await openTab(nursery, DEVICE);
  await phone.writes('only here');
  await phone.syncs();
  await copy.writes('only there');
  await copy.syncs();
  const words = nursery.journal.map((item) => (item.entry as { body: { words: string } }).body.words);
  expect(words.sort()).toEqual(['only here', 'only there', 'shared']);
  expect(await copy.pending()).toBe(0);
  await phone.writes('still here');
  await phone.syncs();
  expect(nursery.journal).toHaveLength(4);
});

test('two copies that wrote under the same numbers are distinguished by the chain', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  const copy = await openTab(nursery, DEVICE);
  await phone.writes('one here');
  await phone.syncs();
  const { entry } = await copy.writes('one there');
  await copy.syncs();
  expect(nursery.asked).not.toContain('/api/incarnation');
  expect(nursery.journal).toHaveLength(2);
  expect((await copy.entry(entry.id))?.entry).toMatchObject({ id: entry.id, inc: 2, seq: 1 });
});

test('a recount keeps what it was based on when its numbers change', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  const lot = 'c'.repeat(32);
  await phone.write.note('count', { lot, change: 100, reason: 'potted' });
  await phone.syncs();
  await phone.write.note('count', { lot, change: -3, reason: 'culled' });
  await phone.write.note('recount', { lot, counted: 97, basis: { [`${DEVICE}.1`]: 2 } });
  await phone.rekey.takeIncarnation(2);
  const [, recount] = await (await phone.base.base()).getAllFromIndex('entries', 'pending');
  expect(recount?.entry.body).toMatchObject({ basis: { [`${DEVICE}.1`]: 1, [`${DEVICE}.2`]: 1 } });
  expect((await phone.record(`stock:${lot}`))?.stock?.pots).toBe(97);
});

test('a server that lost the end of this phone is sent it again', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  const restore = nursery.backup();
  await phone.writes('one');
  await phone.syncs();
  restore();
  // The same epoch name: only the gap tells.
  nursery.epoch = 'e1';
  await phone.writes('two');
  await phone.syncs();
  expect(nursery.journal).toHaveLength(2);
});

test('one entry that the server stumbles over keeps its place, and those before it go', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  const saved = [];
  for (const words of ['a', 'b', 'c', 'd', 'e']) saved.push(await phone.writes(words));
  nursery.poison = saved[3]?.entry.id ?? '';
  await phone.syncs();
  expect(nursery.journal).toHaveLength(3);
  expect(phone.sync.syncStatus.value.state).toBe('refused');
  nursery.poison = '';
  await phone.syncs();
  expect(nursery.journal).toHaveLength(5);
});

test('a note that the server cannot even read, and so not name, does not stop the queue', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  const { entry } = await phone.writes('unread');
  nursery.unread.add(entry.id);
  await phone.writes('read');
  await phone.syncs();
  expect(await phone.pending()).toBe(0);
  expect(await phone.entry(entry.id)).toMatchObject({ state: 'quarantined', position: 0 });
  expect(nursery.journal).toHaveLength(1);
});

test('a note that was held goes to a restored server again, since it may have lost that too', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  const restore = nursery.backup();
  const { entry } = await phone.writes('held');
  nursery.held.add(entry.id);
  await phone.syncs();
  restore();
  nursery.held.clear();
  await phone.syncs();
  expect(await phone.pending()).toBe(0);
  expect(nursery.journal.map((item) => (item.entry as { id: string }).id)).toEqual([entry.id]);
});

test('a held note is acknowledged, kept and shown apart, and the rest flows', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  const { entry } = await phone.writes('odd');
  nursery.held.add(entry.id);
  await phone.writes('fine');
  await phone.syncs();
  expect(await phone.pending()).toBe(0);
  expect(await phone.entry(entry.id)).toMatchObject({ state: 'quarantined', position: 0 });
  // Who wrote it goes on seeing it.
  expect(await phone.record(`fact:${entry.id}`)).toBeDefined();
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: false });
  expect(nursery.journal).toHaveLength(1);
});

test("another person's notes are parked, never sent under a new name, and go when their writer is back", async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  await phone.writes('by the first');
  await phone.identity.become(nursery.me(OTHER, 'b'.repeat(32)));
  const others = await openTab(nursery, OTHER, { disk: phone.disk, person: 'b'.repeat(32) });
  await others.writes('by the second');
  await others.syncs();
  expect(nursery.journal.map((item) => (item.entry as { person: string }).person)).toEqual(['b'.repeat(32)]);
  expect(await (await others.base.base()).countFromIndex('entries', 'state', 'parked')).toBe(1);
  const back = await openTab(nursery, '00000000000000d3', { disk: phone.disk });
  await back.syncs();
  expect(nursery.journal).toHaveLength(2);
});

test('a half filled card survives the end of the app and becomes one entry', async () => {
  const nursery = new Nursery();
  const phone = await openTab(nursery, DEVICE);
  const [walk, bed, lot] = ['1'.repeat(32), '2'.repeat(32), '3'.repeat(32)];
  const draft = { walk, bed, id: '4'.repeat(32), trait: 'buds', now: { walk, bed, lot, head_a_mm: 315 }, before: [] };
  await phone.draft.keep(draft);
  const again = await openTab(nursery, DEVICE, { disk: phone.disk });
  const found = await again.draft.draftOf(walk);
  expect(found).toEqual(draft);
  await again.draft.settle({ ...draft, now: { ...draft.now, buds: 42 } });
  expect(await again.draft.draftOf(walk)).toBeUndefined();
  const [pot] = (await again.read.potsOfWalk(walk)) ?? [];
  expect(pot?.now).toEqual({ walk, bed, lot, head_a_mm: 315, buds: 42 });
  expect(await again.pending()).toBe(1);
});

test('unsent notes can be saved to a file, byte for byte as they would be sent', async () => {
  const phone = await openTab(new Nursery(), DEVICE);
  const { entry } = await phone.writes('out');
  const file = JSON.parse(await (await phone.exported.unsentFile()).text()) as { entries: unknown[] };
  expect(file.entries).toEqual([entry]);
});

test('five hundred notes a batch at the most, and never more bytes than the server takes', async () => {
  const phone = await openTab(new Nursery(), DEVICE);
  const many = Array.from({ length: 700 }, (_, i) => phone.write.intent('note', { words: `n${i}` }));
  await phone.write.save(many);
  expect((await phone.push.nextBatch())?.texts).toHaveLength(500);
  const long = Array.from({ length: 60 }, () => phone.write.intent('note', { words: 'é'.repeat(4000) }));
  const second = await openTab(new Nursery(), OTHER);
  await second.write.save(long);
  const batch = await second.push.nextBatch();
  const bytes = new TextEncoder().encode(batch?.texts.join(',')).length;
  expect(bytes).toBeLessThan(256 * 1024);
  expect(batch?.texts.length).toBeGreaterThan(20);
});
