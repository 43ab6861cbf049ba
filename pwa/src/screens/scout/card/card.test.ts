/** The pot card: what was tapped is on the disk, whatever comes next. */
import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { beforeEach, expect, test, vi } from 'vitest';
import type { PotRow } from '../../../journal/records/read';

const [walk, bed] = ['1'.repeat(32), '2'.repeat(32)];
const place = { row: 3, across: 2 };

async function fresh() {
  vi.resetModules();
  vi.stubGlobal('indexedDB', new IDBFactory());
  const [card, draft, { base }, { potsOfWalk }, { subscribe }] = await Promise.all([
    import('./card'),
    import('../../../journal/outbox/draft'),
    import('../../../journal/store/base'),
    import('../../../journal/records/read'),
    import('../../../journal/store/changes'),
  ]);
  card.open(walk, bed, place, true);
  return { ...card, ...draft, base, potsOfWalk, subscribe };
}

let it: Awaited<ReturnType<typeof fresh>>;
beforeEach(async () => {
  it = await fresh();
});

const settled = () => vi.waitFor(() => expect(it.saving.value).toBe('saved'));

test('an empty card is not written down', async () => {
  expect(await it.draftOf(walk)).toBeUndefined();
});

test('a tap is on the disk even when the card moves on to the next question at once', async () => {
  it.answerWith({ head_a_mm: 310 });
  it.turnTo('buds');
  await settled();
  expect(await it.draftOf(walk)).toMatchObject({ trait: 'buds', now: { head_a_mm: 310, place, planned: true } });
});

test('of many quick taps the last one is on the disk', async () => {
  for (let buds = 1; buds <= 30; buds++) it.answerWith({ buds });
  await settled();
  expect((await it.draftOf(walk))?.now.buds).toBe(30);
});

test('undo goes back tap by tap, shows what it took back, and is on the disk too', async () => {
  it.answerWith({ head_a_mm: 310 });
  it.answerWith({ buds: 4 });
  it.answerWith({ buds: 42 });
  it.turnTo('leaves');
  expect(it.undo()).toBe(true);
  expect(it.card.value).toMatchObject({ trait: 'buds', now: { head_a_mm: 310, buds: 4 } });
  it.undo();
  it.undo();
  expect(it.undo()).toBe(false);
  await settled();
  expect((await it.draftOf(walk))?.now).toEqual({ walk, bed, lot: '', place, planned: true });
});

test('an answer taken back to "not looked at" is left out, never none', () => {
  it.answerWith({ chlorosis: 'young', severity: 2 });
  it.answerWith({ severity: undefined });
  expect(it.card.value?.now).not.toHaveProperty('severity');
});

test('a card left half filled opens again as it was', async () => {
  it.answerWith({ root_cover: 4 });
  await settled();
  it.leave();
  expect(it.card.value).toBeUndefined();
  expect(await it.resume(walk)).toBe(true);
  expect(it.card.value?.now.root_cover).toBe(4);
});

test('a correction without a change makes no entry', async () => {
  const by = {
    entry: '5'.repeat(32),
    person: '',
    device: '',
    stamp: { at: 0, quality: 'exact' as const, from: 0, to: 0 },
  };
  const now = { walk, bed, lot: '3'.repeat(32), buds: 40 };
  it.reopen({ id: '4'.repeat(32), now, first: by, by, versions: 1 });
  expect(it.hasSomething(it.card.value!)).toBe(false);
  it.answerWith({ buds: 41 });
  expect(it.hasSomething(it.card.value!)).toBe(true);
});

test('what cannot be saved stays on the card, and says so', async () => {
  it.answerWith({ buds: 40 });
  await settled();
  // This phone was never paired, so there is nobody to write as.
  expect(await it.finish()).toBe(false);
  expect(it.card.value?.now.buds).toBe(40);
  expect(it.saving.value).toBe('broken');
  expect((await it.draftOf(walk))?.now.buds).toBe(40);
});

test('a pot is closed by one write: its last answer goes into the entry, not into a draft before it', async () => {
  const writer = { device: '00000000000000d1', inc: 1, person: 'a'.repeat(32), seq: 0, chain: '', floor: 0 };
  await (await it.base()).put('meta', writer, 'writer');
  it.answerWith({ buds: 40 });
  await settled();
  const asked = vi.spyOn(IDBDatabase.prototype, 'transaction');
  it.answerWith({ chlorosis: 'none', severity: 0 });
  expect(await it.finish()).toBe(true);
  const writes = asked.mock.calls.filter(([, mode]) => mode === 'readwrite');
  asked.mockRestore();
  expect(writes).toHaveLength(1);
  const [pot] = (await it.potsOfWalk(walk)) ?? [];
  expect(pot?.now).toMatchObject({ buds: 40, chlorosis: 'none' });
  expect(await it.draftOf(walk)).toBeUndefined();
});

test('what comes after a pot is opened when it is on the disk, before any screen hears of it', async () => {
  const writer = { device: '00000000000000d1', inc: 1, person: 'a'.repeat(32), seq: 0, chain: '', floor: 0 };
  await (await it.base()).put('meta', writer, 'writer');
  it.answerWith({ buds: 40 });
  const order: string[] = [];
  const stop = it.subscribe(() => order.push('heard'));
  expect(await it.finish(() => order.push(`opened, ${it.saving.value}`))).toBe(true);
  stop();
  expect(order).toEqual(['opened, saved', 'heard']);
});

test('nothing is opened after a pot that could not be saved', async () => {
  it.answerWith({ buds: 40 });
  const opened = vi.fn<() => void>();
  expect(await it.finish(opened)).toBe(false);
  expect(opened).not.toHaveBeenCalled();
});

test('the answer of the very tap that could not close the pot is on the disk like the others', async () => {
  it.answerWith({ buds: 40 });
  await settled();
  it.answerWith({ chlorosis: 'none', severity: 0 });
  expect(await it.finish()).toBe(false);
  expect((await it.draftOf(walk))?.now).toMatchObject({ buds: 40, chlorosis: 'none' });
});

test('which leaves without how much is asked about once before the pot closes', async () => {
  it.answerWith({ chlorosis: 'old' });
  it.turnTo('head');
  expect(it.asksDegree()).toBe(true);
  expect(it.card.value).toMatchObject({ trait: 'leaves', askedDegree: true });
  // Somebody who cannot tell goes on.
  expect(it.asksDegree()).toBe(false);
});

test.each([
  ['leaves that nobody looked at', {}],
  ['green leaves', { chlorosis: 'none', severity: 0 }],
  ['a degree that was given', { chlorosis: 'whole', severity: 2 }],
  ['a soft new flush, which is naturally light', { chlorosis: 'young', soft_flush: true }],
] as const)('how much is not asked about %s', (_, answers) => {
  it.answerWith(answers);
  expect(it.asksDegree()).toBe(false);
});

const whole = { walk, bed, lot: '', head_a_mm: 310, buds: 42, root_cover: 4, root_life: 4, chlorosis: 'none' } as const;

test('a pot with open questions is asked for them once, and turns to the first', () => {
  it.answerWith({ buds: 42 });
  it.turnTo('leaves');
  expect(it.asksOpen(whole)).toEqual(['head', 'roots', 'leaves']);
  expect(it.card.value?.trait).toBe('head');
  expect(it.asksOpen(whole)).toEqual([]);
});

test('what was said to be not seen is not asked for, and loses what was answered', () => {
  it.answerWith({ head_a_mm: 310, buds: 42 });
  it.notSeen('roots');
  it.notSeen('buds');
  expect(it.card.value?.now.buds).toBeUndefined();
  expect(it.asksOpen(whole)).toEqual(['leaves']);
});

test('what the pot before left open too is left out of this walk on purpose', () => {
  it.answerWith({ buds: 42 });
  const { head_a_mm: _, chlorosis: __, ...before } = whole;
  expect(it.asksOpen(before)).toEqual(['roots']);
});

test('an empty card, a whole pot and a correction are asked for nothing', () => {
  expect(it.asksOpen(undefined)).toEqual([]);
  it.answerWith(whole);
  expect(it.asksOpen(undefined)).toEqual([]);
  it.reopen({ id: '3'.repeat(32), by: { entry: '4'.repeat(32) }, now: { walk, bed, lot: '', buds: 3 } } as PotRow);
  it.answerWith({ buds: 4 });
  expect(it.asksOpen(undefined)).toEqual([]);
});
