/** What screens learn of a walk while it is being noted, here and elsewhere. */
import { act, renderHook } from '@testing-library/preact';
import { afterEach, expect, test, vi } from 'vitest';
import { Nursery, openTab } from '../nursery.testing';
import type { RecordRow } from '../store/shape';

const [walk, bed, lot] = ['1'.repeat(32), '2'.repeat(32), '3'.repeat(32)];

let stop: () => void = () => undefined;

afterEach(() => {
  stop();
  vi.unstubAllGlobals();
  localStorage.clear();
});

async function walking() {
  const phone = await openTab(new Nursery(), '00000000000000d1');
  let rows: readonly RecordRow[] | undefined;
  stop = phone.read.followWalk(walk, (latest) => (rows = latest));
  const pots = () => rows?.map(({ record }) => record.pot?.now.buds);
  await vi.waitFor(() => expect(pots()).toEqual([]));
  const looksAt = (buds: number) => phone.write.note('observation', { walk, bed, lot, buds });
  return { phone, pots, looksAt };
}

test('a pot is on the screen as soon as it is saved, without reading the walk again', async () => {
  const { pots, looksAt } = await walking();
  const asked = vi.spyOn(IDBIndex.prototype, 'getAll');
  await looksAt(40);
  await looksAt(41);
  const indexes = asked.mock.contexts.map((index) => (index as IDBIndex).name);
  asked.mockRestore();
  expect(pots()).toEqual([40, 41]);
  expect(indexes).not.toContain('walk');
});

test('a pot that was struck out and one that another walk has are reported as what they are', async () => {
  const { phone, pots, looksAt } = await walking();
  const { entry } = await looksAt(40);
  await phone.write.note('observation', { walk: '4'.repeat(32), bed, lot, buds: 7 });
  await phone.write.note('void', { names: entry.id, records: [`pot:${entry.id}`], why: 'mistake' }, { lot, bed });
  expect(pots()).toEqual([40]);
  expect((await phone.read.potsOfWalk(walk))?.[0]?.voided).toBeDefined();
});

test('when pots were only announced, the walk is read again', async () => {
  const { phone, pots, looksAt } = await walking();
  await looksAt(40);
  const written = await (await phone.base.base()).getAllFromIndex('records', 'walk', walk);
  const elsewhere = new BroadcastChannel('bedwalk');
  const key = `pot:${'9'.repeat(32)}`;
  const changed = { ...written[0]!, key, text: written[0]!.text.replace(written[0]!.key, key) };
  await (await phone.base.base()).put('records', changed);
  elsewhere.postMessage({ rows: [{ key: changed.key, kind: 'pot', bed, walk }], gone: [], queue: true });
  await vi.waitFor(() => expect(pots()).toEqual([40, 40]));
  elsewhere.close();
});

test('a page of the journal goes to other threads without the pots that nobody shows', async () => {
  const { phone } = await walking();
  const elsewhere = new BroadcastChannel('bedwalk');
  const heard: { rows: { kind: string; record?: unknown }[] }[] = [];
  elsewhere.addEventListener('message', ({ data }: MessageEvent<(typeof heard)[number]>) => heard.push(data));
  const pots = Array.from({ length: 60 }, () => phone.write.intent('observation', { walk, bed, lot, buds: 1 }));
  await phone.write.save([...pots, phone.write.intent('walk', { walk, bed, seed: 1, planned: 60 })]);
  await vi.waitFor(() => expect(heard).toHaveLength(1));
  elsewhere.close();
  const whole = heard[0]?.rows.filter(({ record }) => record !== undefined);
  expect(heard[0]?.rows).toHaveLength(61);
  expect(whole?.map(({ kind }) => kind)).toEqual(['walk']);
});

test('of pots with one time, the one that the server has not stamped yet is the last', async () => {
  const { phone, looksAt } = await walking();
  const { entry } = await looksAt(40);
  const db = await phone.base.base();
  const pending = (await db.get('records', `pot:${entry.id}`))!;
  const stamped = pending.text.replaceAll('"quality":"pending"', '"quality":"exact"');
  expect(stamped).not.toBe(pending.text);
  for (const key of [`pot:${'0'.repeat(32)}`, `pot:${'f'.repeat(32)}`])
    await db.put('records', { ...pending, key, text: stamped.replace(pending.key, key) });
  const order = (await phone.read.potsOfWalk(walk))?.map(({ first }) => first.stamp.quality);
  expect(order).toEqual(['exact', 'exact', 'pending']);
});

test('a slow reading does not replace the newer one that overtook it', async () => {
  const { phone, looksAt } = await walking();
  const answers: ((value: string) => void)[] = [];
  const shown = renderHook(() =>
    phone.read.useStored(() => new Promise<string>((resolve) => answers.push(resolve)), []),
  );
  await looksAt(40);
  await vi.waitFor(() => expect(answers.length).toBeGreaterThan(1));
  await act(async () => answers.at(-1)?.('newer'));
  expect(shown.result.current).toBe('newer');
  await act(async () => answers[0]?.('older'));
  expect(shown.result.current).toBe('newer');
  shown.unmount();
});

test('a screen that was closed receives nothing', async () => {
  const { pots, looksAt } = await walking();
  stop();
  await looksAt(40);
  expect(pots()).toEqual([]);
});

test('what is made of records of one kind is read again when one of them changes, and after no other note', async () => {
  const phone = await openTab(new Nursery(), '00000000000000d1');
  let reads = 0;
  const { result } = renderHook(() => phone.read.useStored(async () => ++reads, [], 'task'));
  await vi.waitFor(() => expect(result.current).toBe(1));
  await phone.write.note('observation', { walk, bed, lot, buds: 40 });
  await act(
    async () => void (await phone.write.note('task', { of: '5'.repeat(32), beds: [bed], words: 'Look again.' })),
  );
  await vi.waitFor(() => expect(result.current).toBe(2));
  expect(reads).toBe(2);
});
