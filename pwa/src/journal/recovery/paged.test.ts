/** Recoveries go page by page: closed between any two of them and opened again, the phone ends as it would have without. */
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import * as fc from 'fast-check';
import type { Entry, EntryBody } from '../../../../schema/types';
import { addSum, canonical, entryHash, parseSum, sumHex } from '../../../../sync/journal/journal';
import { fold, keys as keysOf } from '../../../../sync/fold/fold';
import { Nursery, openTab } from '../nursery.testing';
import { closeAfter, watchReads } from '../reads.testing';
import type { Cursor, EntryRow, Writer } from '../store/shape';

const size = vi.hoisted(() => ({ PAGE: 500 }));
vi.mock('../store/pageSize', () => ({
  get PAGE() {
    return size.PAGE;
  },
  LEAST: 50,
  MOST: 200,
}));

const DEVICE = '00000000000000d1';
const NEXT = '00000000000000d2';
const OTHER = '00000000000000d3';
const PERSON = 'a'.repeat(32);

type Phone = Awaited<ReturnType<typeof openTab>>;

beforeEach(sameStart);

function sameStart(): void {
  // The same notes with the same ids and times in each run, so that their ends can be compared to the byte.
  vi.useFakeTimers({ toFake: ['Date', 'performance'], now: 1_800_000_000_000 });
  let drawn = 1;
  vi.spyOn(crypto, 'getRandomValues').mockImplementation((bytes) => {
    const into = bytes as unknown as Uint8Array;
    for (let i = 0; i < into.length; i++) {
      drawn = (Math.imul(drawn, 1_664_525) + 1_013_904_223) >>> 0;
      into[i] = drawn >>> 24;
    }
    return bytes;
  });
}

afterEach(() => {
  size.PAGE = 500;
  vi.useRealTimers();
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
  localStorage.clear();
});

/** Other phones' notes, merged by the server: changes of lots' numbers, and words about them. */
function othersNote(nursery: Nursery, first: number, count: number): void {
  for (let i = first; i < first + count; i++) {
    // Ids in no order, as random ones are.
    const id = ((i * 7919) % 100_003).toString(16).padStart(8, '0').repeat(4);
    const lot = `${(i % 3) + 1}`.repeat(32);
    const counted = { lot, change: i, reason: 'found' as const } satisfies EntryBody['count'];
    const note = { lot, words: `note ${i}` } satisfies EntryBody['note'];
    const [kind, body] = i % 5 === 0 ? (['count', counted] as const) : (['note', note] as const);
    const writer = { device: OTHER, inc: 1, seq: i + 1, v: 1, person: 'b'.repeat(32) };
    const clocks = { wall: 1_700_000_000_000 + i, session: 's', mono: i, floor: 0 };
    const entry = { id, ...writer, ...clocks, kind, lot, body } as Entry;
    nursery.merge({ at: 1_700_000_000_000 + i, quality: 'exact', from: i, to: i }, entry);
  }
}

/** A phone that was paired twice, with what others wrote; then the server is set back, and loses of everything. */
async function setBack(notes: number): Promise<{ nursery: Nursery; phone: Phone }> {
  const nursery = new Nursery();
  const first = await openTab(nursery, DEVICE);
  for (let i = 0; i < 4; i++) await first.writes(`by the first pairing, kept ${i}`);
  othersNote(nursery, 0, notes);
  await first.syncs();
  const restore = nursery.backup();
  for (let i = 0; i < 5; i++) await first.writes(`by the first pairing, lost ${i}`);
  await first.syncs();
  const phone = await openTab(nursery, NEXT, { disk: first.disk, person: PERSON });
  for (let i = 0; i < 7; i++) await phone.writes(`own, lost ${i}`);
  othersNote(nursery, notes, notes);
  await phone.syncs();
  expect((await dump(phone)).cursor).toMatchObject({ position: nursery.journal.length });
  restore();
  return { nursery, phone };
}

/** All that the phone keeps, but for what says when something was heard. */
async function dump(phone: Phone) {
  phone.use();
  const open = await phone.base.base();
  const meta = async (key: string) => open.get('meta', key);
  return {
    entries: await open.getAll('entries'),
    records: await open.getAll('records'),
    cursor: await meta('cursor'),
    sums: await meta('sums'),
    recordSum: await meta('recordSum'),
    writer: await meta('writer'),
    unconfirmed: await meta('unconfirmed'),
    recovery: await meta('recovery'),
  };
}

/** The same without the server's times, which go on with each request. That they agree with its own is what the digest shows. */
async function untimed(phone: Phone) {
  const { entries, records, cursor, writer, unconfirmed, recovery } = await dump(phone);
  const { floor: _floor, ...numbers } = writer as Writer;
  const keys = records.map(({ key, kind }) => [key, kind]);
  return {
    entries: entries.map(({ stamp: _stamp, receipt: _made, ...row }) => row),
    keys,
    cursor: { ...(cursor as Cursor), proof: '' },
    numbers,
    unconfirmed,
    recovery,
  };
}

async function untilQuiet(phone: Phone): Promise<void> {
  for (let rounds = 0; rounds < 4; rounds++) await phone.syncs();
}

/** Syncs and waits out the time that others have, so that everything is given back. */
async function recoverAll(nursery: Nursery, phone: Phone): Promise<void> {
  await phone.syncs();
  nursery.minutesPass(11);
  await untilQuiet(phone);
}

test('closed between any two pages after a restored backup, and opened again, the phone ends as if it had not been', async () => {
  size.PAGE = 5;
  const undisturbed = await setBack(5);
  await recoverAll(undisturbed.nursery, undisturbed.phone);
  const expected = await untimed(undisturbed.phone);
  expect(undisturbed.nursery.digests.at(-1)).toEqual({ equal: true, records: true });
  expect(new Set(undisturbed.nursery.journal.map((item) => (item.entry as Entry).id)).size).toBe(10 + 16);
  let closed = 0;
  for (let writes = 0, more = true; more; writes++) {
    vi.restoreAllMocks();
    vi.unstubAllGlobals();
    sameStart();
    const { nursery, phone } = await setBack(5);
    const app = closeAfter(writes);
    await phone.syncs();
    more = app.wasClosed();
    if (more) closed++;
    const reopened = await openTab(nursery, NEXT, { disk: phone.disk, person: PERSON });
    await recoverAll(nursery, reopened);
    expect(await untimed(reopened), `closed after ${writes} writes`).toEqual(expected);
    expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
    expect(nursery.journal.map(({ entry }) => entry)).toEqual(undisturbed.nursery.journal.map(({ entry }) => entry));
  }
  // 26 entries in pages of 5: back to the fork, looked for at the head, and read again.
  expect(closed).toBeGreaterThan(10);
}, 600_000);

test('twelve hundred notes are gone back over, looked for and read again in readings of at most a page', async () => {
  const { nursery, phone } = await setBack(600);
  const read = watchReads();
  await recoverAll(nursery, phone);
  await phone.unfinished.rereadJournal();
  await untilQuiet(phone);
  expect(nursery.journal).toHaveLength(1_216);
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
  expect(read.rows()).toBe(500);
}, 600_000);

test('pages of any size do to each note, sum and record what is to be done to the whole', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.integer({ min: 1, max: 20 }),
      fc.nat({ max: 45 }),
      fc.boolean(),
      async (page, forkedAt, all) => {
        size.PAGE = 500;
        vi.restoreAllMocks();
        vi.unstubAllGlobals();
        sameStart();
        const { phone } = await setBack(15);
        const before = await dump(phone);
        size.PAGE = page;
        if (all) await phone.unfinished.rereadJournal();
        else await phone.unfinished.rewind('e2', forkedAt);
        const after = await dump(phone);
        const lost = (row: EntryRow) => row.position > (all ? 0 : forkedAt);
        const fate = (row: EntryRow) =>
          !all && row.own && lost(row) ? 'queued' : lost(row) ? 'unconfirmed' : row.state;
        const ids = before.entries.map(({ id }) => id);
        expect(after.entries.map(({ id }) => id)).toEqual(ids);
        expect(after.entries.map(({ state }) => state)).toEqual(before.entries.map(fate));
        const kept = before.entries.filter((row) => !lost(row));
        expect(after.entries.filter((row) => row.position > 0)).toEqual(kept);
        expect(after.sums).toEqual(sumsOf(kept));
        expect(after.cursor).toMatchObject({ position: all ? 0 : Math.min(forkedAt, before.entries.length) });
        expect(after.recovery).toBeUndefined();
        for (const { key, text } of after.records) expect(text).toBe(textOf(key, after.entries));
      },
    ),
    { numRuns: 12 },
  );
}, 600_000);

/** As the server adds them up: written here by itself. */
function sumsOf(rows: readonly EntryRow[]): Record<string, { count: number; sum: string }> {
  const sums: Record<string, { count: number; sum: string }> = {};
  for (const { entry, stamp } of rows) {
    const { count, sum } = sums[entry.lot ?? ''] ?? { count: 0, sum: sumHex(0n) };
    const hash = entryHash(canonical(entry), stamp);
    sums[entry.lot ?? ''] = { count: count + 1, sum: sumHex(addSum(parseSum(sum), hash)) };
  }
  return sums;
}

function textOf(key: string, rows: readonly EntryRow[]): string {
  const mine = rows.filter(({ entry }) => keysOf(entry).includes(key));
  return canonical(
    fold(
      key,
      mine.map(({ entry, stamp, position }) => ({ entry, stamp, position })),
    ),
  );
}
