/** Records that differ while the notes do not are folded again from what is here, lot by lot, before the server is asked. */
import { afterEach, expect, test, vi } from 'vitest';
import type { Digest, DigestAnswer, Entry } from '../../../../schema/types';
import { sumHex } from '../../../../sync/journal/journal';
import { recordHash } from '../../../../sync/fold/fold';
import { json } from '../answers.testing';
import { idOf } from '../letgo/closing.testing';
import { meta, type Phone } from '../letgo/phones.testing';
import { openTab } from '../nursery.testing';
import { closeAfter } from '../reads.testing';
import type { EntryRow, KeptRow, LotSum } from '../store/shape';
import { askedOf, B, BED, expectEqual, PHONE, planted, WALK } from './compared.testing';
import { Comparing } from './comparing.testing';

const size = vi.hoisted(() => ({ PAGE: 500 }));
vi.mock('../store/pageSize', () => ({
  get PAGE() {
    return size.PAGE;
  },
  LEAST: 50,
  MOST: 200,
}));

afterEach(() => {
  size.PAGE = 500;
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
  localStorage.clear();
});

/** Changes what a phone keeps of a pot, past the app. */
async function spoils(phone: Phone, key: string, change: (row: KeptRow) => KeptRow | undefined): Promise<void> {
  phone.use();
  const open = await phone.base.base();
  const row = await open.get('records', key);
  const next = row && change(row);
  if (next) await open.put('records', next);
  else await open.delete('records', key);
}

const otherText = (row: KeptRow): KeptRow => ({ ...row, text: row.text.replace(/"buds":\d/, '"buds":9') });
const otherRecord = (row: KeptRow): KeptRow => {
  const { text } = otherText(row);
  return { ...row, text, hash: sumHex(recordHash(JSON.parse(text) as never)) };
};

const changes = [
  ['its text was changed', otherText],
  ['its text and its hash were changed', otherRecord],
  ['its row is lost', () => undefined],
] as const;

/** A phone with a record that was changed past the app; the sum of all records shows it, as after the next note of that pot. */
async function spoilt(nursery: Comparing, change: (row: KeptRow) => KeptRow | undefined): Promise<Phone> {
  const [pot] = planted(nursery).get(B) ?? [];
  const phone = await openTab(nursery, PHONE);
  await phone.syncs();
  await spoils(phone, `pot:${pot?.id ?? ''}`, change);
  await (await phone.base.base()).put('meta', sumHex(5n), 'recordSum');
  nursery.hears('note', { words: 'a new day' });
  return phone;
}

test.each(changes.flatMap(([how, change]) => [500, 4].map((page) => [how, page, change] as const)))(
  'a record is folded again from what is here, without a question, where %s on the disk; %d rows a page',
  async (_, page, change) => {
    const nursery = new Comparing();
    const phone = await spoilt(nursery, change);
    size.PAGE = page;
    await phone.syncs();
    size.PAGE = 500;
    expect(askedOf(nursery)).toEqual({ lots: [], reread: false });
    await expectEqual(nursery, phone);
  },
);

test('closed between any two pages of records, and opened again, the phone has the same records', async () => {
  let closed = 0;
  for (let writes = 0, more = true; more; writes++) {
    const nursery = new Comparing();
    const phone = await spoilt(nursery, otherRecord);
    size.PAGE = 8;
    const app = closeAfter(writes);
    await phone.syncs();
    more = app.wasClosed();
    vi.restoreAllMocks();
    const again = await openTab(nursery, PHONE, { disk: phone.disk });
    for (let rounds = 0; rounds < 3; rounds++) await again.syncs();
    size.PAGE = 500;
    expect(askedOf(nursery)).toEqual({ lots: [], reread: false });
    await expectEqual(nursery, again);
    closed += Number(more);
  }
  expect(closed).toBeGreaterThan(8);
});

test('where a note was changed on the disk, its lot is asked of the server after the records were folded again', async () => {
  const nursery = new Comparing();
  const [pot] = planted(nursery).get(B) ?? [];
  const id = pot?.id ?? '';
  const phone = await openTab(nursery, PHONE);
  await phone.syncs();
  const row = (await phone.entry(id)) as EntryRow;
  const entry = { ...row.entry, body: { ...(row.entry.body as object), buds: 8 } } as Entry;
  await (await phone.base.base()).put('entries', { ...row, entry });
  nursery.hears(
    'correction',
    { pot: id, replaces: idOf(9, 9), now: { walk: WALK, bed: BED, lot: B, buds: 6 } },
    { lot: B },
  );
  await phone.syncs();
  expect(askedOf(nursery)).toEqual({ lots: [B], reread: false });
  await expectEqual(nursery, phone);
});

/** A server that makes other records of one lot than this build: of another release, or by a fault. */
class FoldsOtherwise extends Comparing {
  /** How often it was told what the records of each lot add up to. */
  byLot = 0;

  override async answer(device: string, person: string, path: string, init: RequestInit = {}): Promise<Response> {
    const answer = await super.answer(device, person, path, init);
    if (path !== '/api/digest' || answer.status !== 200) return answer;
    const sent = JSON.parse(init.body as string) as Digest;
    const byLot = sent.lots.some((lot) => lot.record_sum);
    this.byLot += Number(byLot);
    const said = (await answer.json()) as DigestAnswer;
    if (sent.records === undefined || said.differ) return json({ ...said, equal: !said.differ });
    return json({ ...said, equal: false, ...(byLot && { records_differ: [B] }) });
  }
}

test('records that stay different are tried once, and not with each note, one that was not sent yet when it was compared either', async () => {
  const nursery = new FoldsOtherwise();
  planted(nursery);
  const phone = await openTab(nursery, PHONE);
  await phone.syncs();
  expect(askedOf(nursery)).toEqual({ lots: [B], reread: true });
  const tried = [nursery.byLot, nursery.asked.filter((path) => path.startsWith('/api/lots/')).length];
  for (const words of ['one', 'two', 'three']) {
    // Out of room, the server takes no note and compares what it has: of records it says nothing then.
    nursery.trouble = 'quarantine_full';
    await phone.writes(words);
    await phone.syncs();
    nursery.trouble = 'none';
    await phone.syncs();
  }
  expect(await phone.pending()).toBe(0);
  expect([nursery.byLot, nursery.asked.filter((path) => path.startsWith('/api/lots/')).length]).toEqual(tried);
  expect(nursery.pulls.filter((after) => after === 0)).toHaveLength(2);
});

test('a record of no lot is folded again, and a pot of which only a late correction is here is not', async () => {
  const nursery = new Comparing();
  const [pot] = planted(nursery, [B]).get(B) ?? [];
  nursery.hears('count', { lot: B, change: -7, reason: 'shipped' }, { lot: B });
  nursery.hears('lot', { of: B, shipped_on: '2026-05-14' }, { lot: B });
  nursery.minutesPass(31 * 24 * 60);
  const phone = await openTab(nursery, PHONE);
  await phone.syncs();
  const now = { walk: WALK, bed: BED, lot: B, buds: 6 };
  nursery.hears('correction', { pot: pot?.id, replaces: pot?.id, now }, { lot: B });
  await phone.syncs();
  const gone = await meta<Map<string, LotSum>>(phone, 'gone');
  expect(gone?.size).toBe(1);
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
  const otherName = (row: KeptRow): KeptRow => {
    const text = row.text.replace('North', 'South');
    return { ...row, text, hash: sumHex(recordHash(JSON.parse(text) as never)) };
  };
  await spoils(phone, `house:${idOf(5, 1)}`, otherName);
  await (await phone.base.base()).put('meta', sumHex(5n), 'recordSum');
  nursery.hears('note', { words: 'a new day' });
  await phone.syncs();
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
  expect(askedOf(nursery)).toEqual({ lots: [], reread: false });
  expect(await meta(phone, 'gone')).toEqual(gone);
});
