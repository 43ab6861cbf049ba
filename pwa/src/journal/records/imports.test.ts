/** A sheet that was brought in is found again as one, and struck out only while nothing hangs on it. */
import { createHash } from 'node:crypto';
import { afterEach, expect, test, vi } from 'vitest';
import type { PackHead } from '../store/shape';
import { Nursery, openTab } from '../nursery.testing';

const [house, bed, lot] = ['2'.repeat(32), '3'.repeat(32), '4'.repeat(32)];

afterEach(() => {
  vi.unstubAllGlobals();
  localStorage.clear();
});

async function broughtIn() {
  const nursery = new Nursery();
  const phone = await openTab(nursery, '00000000000000d1');
  await phone.syncs();
  const its = await import('./imports');
  const { intent, save } = phone.write;
  const notes = its.asImport('a sheet', [
    intent('house', { of: house, name: 'Heron' }),
    intent('bed', { of: bed, house, name: 'H1', rows: 60, across: 10 }),
    intent('lot', { of: lot, tag: 'AZ-1', crop: 'azalea', cultivar: 'Ember', pot_mm: 150 }),
  ]);
  await save(notes);
  return { nursery, phone, its };
}

test('all that one sheet added is found again by its note, and struck out it is in no list', async () => {
  const { its } = await broughtIn();
  const [one, ...others] = await its.importsHere();
  expect(others).toEqual([]);
  const { notes, since } = (await its.importToUndo(one!))!;
  expect(since).toEqual([]);
  expect(notes.map(({ entry }) => entry.kind).sort()).toEqual(['bed', 'house', 'lot', 'note']);
  // The server finds them by the same ids (schema.Import.NoteID); here by Node's own SHA-256.
  const ids = [0, 1, 2].map((n) => createHash('sha256').update(`${one!.of.id} ${n}`).digest('hex').slice(0, 32));
  expect(notes.map(({ entry }) => entry.id).sort()).toEqual([...ids, one!.entry].sort());
  const { beds, load, lots } = await import('./registers');
  await load();
  expect([beds.value.has(bed), lots.value.has(lot)]).toEqual([true, true]);
  const { keys } = await import('../../../../sync/fold/fold');
  const { voidEntries } = await import('../outbox/voids');
  const place = ({ lot: of, bed: on }: { lot?: string; bed?: string }) => ({
    ...(of && { lot: of }),
    ...(on && { bed: on }),
  });
  await voidEntries(
    notes.map(({ entry }) => ({ names: entry.id, records: keys(entry), place: place(entry) })),
    'mistake',
  );
  expect(await its.importsHere()).toEqual([]);
  expect([beds.value.has(bed), lots.value.has(lot)]).toEqual([false, false]);
});

test('what was noted since about a lot or a bed is named, so that it does not lose what it is about', async () => {
  const { phone, its } = await broughtIn();
  const pinched = await phone.write.note('event', { lot, what: 'pinched', on: '2026-11-01' });
  const renamed = await phone.write.note('bed', { of: bed, saw: [], name: 'H2' });
  const [one] = await its.importsHere();
  const { since } = (await its.importToUndo(one!))!;
  expect([...since].sort()).toEqual([pinched.entry.id, renamed.entry.id].sort());
});

test('so is what names its bed or lot in the words of a note alone, and not what was struck out', async () => {
  const { phone, its } = await broughtIn();
  const { intent, save } = phone.write;
  const body = { purpose: 'fungicide', active: 'made up', ended_at: 1, entry_hours: 12 } as const;
  const other = '5'.repeat(32);
  const saved = await save([
    intent('note', { bed, words: 'dry at the door' }),
    intent('application', { ...body, beds: [other, bed] }),
    intent('application', { ...body, beds: [other], lots: [lot] }),
    intent('event', { lot: other, what: 'cuttings_taken', on: '2026-11-01', cuttings: 100, to: lot }),
    intent('note', { bed: other, words: 'of another' }),
    intent('note', { bed, words: 'struck out' }),
  ]);
  const { keys } = await import('../../../../sync/fold/fold');
  const { voidEntries } = await import('../outbox/voids');
  const struck = saved.at(-1)!.entry;
  await voidEntries([{ names: struck.id, records: keys(struck), place: { bed } }], 'mistake');
  const [one] = await its.importsHere();
  const { since } = (await its.importToUndo(one!))!;
  expect([...since].sort()).toEqual(
    saved
      .slice(0, 4)
      .map(({ entry }) => entry.id)
      .sort(),
  );
});

vi.mock('../store/pageSize', () => ({ PAGE: 500, LEAST: 1, MOST: 4 }));

type Phone = Awaited<ReturnType<typeof broughtIn>>['phone'];
const heads = async (phone: Phone): Promise<PackHead[]> => (await phone.base.base()).getAll('packs');
const spoilt = { ids: new Uint8Array(16), text: '{' };

test.each<[string, (phone: Phone) => Promise<unknown>]>([
  ['a pack was lost', async (phone) => (await phone.base.base()).delete('packed', (await heads(phone))[0]?.body ?? '')],
  [
    'a pack cannot be read',
    async (phone) => (await phone.base.base()).put('packed', spoilt, (await heads(phone))[0]?.body),
  ],
  [
    'a pack has lost its head',
    async (phone) => (await phone.base.base()).delete('packs', (await heads(phone))[0]?.name ?? ''),
  ],
])(
  'while notes are missing because %s no sheet is undone; once they are here again it says what was noted since',
  async (_, lose) => {
    const { nursery, phone } = await broughtIn();
    await phone.syncs();
    const other = await openTab(nursery, '00000000000000d2');
    const walk = '6'.repeat(32);
    const seen = await other.write.note('observation', { walk, bed, lot, buds: 7 }, { lot, bed });
    await other.syncs();
    phone.use();
    await phone.syncs();
    expect(await heads(phone)).toHaveLength(1);
    await lose(phone);
    const again = await openTab(nursery, '00000000000000d1', { disk: phone.disk });
    const now = await import('./imports');
    const [one] = await now.importsHere();
    expect(await now.importToUndo(one!)).toBeUndefined();
    expect(await now.importToUndo(one!)).toBeUndefined();
    for (let rounds = 0; rounds < 4; rounds++) await again.syncs();
    expect((await now.importToUndo(one!))?.since).toEqual([seen.entry.id]);
  },
);
