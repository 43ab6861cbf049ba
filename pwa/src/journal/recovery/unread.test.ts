/** A phone whose build does not know a kind yet, beside a server that does; then it is updated, and closed between any two pages. */
import { afterEach, expect, test, vi } from 'vitest';
import type { Entry } from '../../../../schema/types';
import { json } from '../answers.testing';
import { Nursery, openTab } from '../nursery.testing';
import { closeAfter } from '../reads.testing';
import type { EntryRow, Meta } from '../store/shape';

const build = vi.hoisted(() => ({ fold: 1, PAGE: 500 }));
vi.mock('../store/pageSize', () => ({
  get PAGE() {
    return build.PAGE;
  },
  LEAST: 50,
  MOST: 200,
}));
vi.mock('../../../../schema/kinds', async (original) => ({
  ...(await original<object>()),
  get foldVersion() {
    return build.fold;
  },
}));
vi.mock('../../../../sync/fold/keys.ts', async (original) => {
  const real = await original<typeof import('../../../../sync/fold/keys.ts')>();
  return { ...real, keys: (entry: Entry) => (build.fold === 0 && entry.kind === 'trace' ? [] : real.keys(entry)) };
});

const [DEVICE, OTHER, PERSON] = ['00000000000000d1', '00000000000000d3', 'a'.repeat(32)];

afterEach(() => {
  Object.assign(build, { fold: 1, PAGE: 500 });
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
  localStorage.clear();
});

type Phone = Awaited<ReturnType<typeof openTab>>;

function others(nursery: Nursery, kind: Entry['kind'], body: Entry['body'], i: number): string {
  const id = ((i * 7919) % 100_003).toString(16).padStart(8, '0').repeat(4);
  const entry = { id, device: OTHER, inc: 1, seq: i, v: 1, person: PERSON, wall: i, session: 's', mono: i, floor: 0 };
  nursery.merge({ at: i, quality: 'exact', from: i, to: i }, { ...entry, kind, body } as Entry);
  return id;
}

/** A server that takes other records for a difference. */
class Older extends Nursery {
  override async answer(...asked: Parameters<Nursery['answer']>): Promise<Response> {
    const answer = await super.answer(...asked);
    return asked[2] === '/api/digest' ? json({ ...((await answer.json()) as object), equal: false }) : answer;
  }
}

/** A nursery with what loggers wrote, some of it struck out, and other notes, of which one has the others' words in its own. */
function withTraces(nursery = new Nursery()): Nursery {
  nursery.fold = 1;
  for (let i = 1; i <= 12; i++) {
    const trace = { house: 'b'.repeat(32), source: 'ab'.repeat(32), parts: [{ at: i, every_s: 60, dc: [i] }] };
    const id = others(nursery, 'trace', trace, 3 * i);
    others(nursery, 'note', { words: `"kind":"trace" ${i}` }, 3 * i + 1);
    if (i % 4 === 0) others(nursery, 'void', { names: id, records: [`trace:${id}`], why: 'mistake' }, 3 * i + 2);
  }
  return nursery;
}

async function holds(phone: Phone) {
  phone.use();
  const open = await phone.base.base();
  const meta = async <K extends keyof Meta>(key: K) => (await open.get('meta', key)) as Meta[K] | undefined;
  const entries = await open.getAll('entries');
  const keysOf = ({ id, keys }: EntryRow) => [id, ...keys];
  const records = (await open.getAll('records')).map(({ key, kind, fact, text, hash }) => [
    key,
    kind,
    fact,
    text,
    hash,
  ]);
  return {
    keys: entries.map(keysOf),
    records,
    sum: await meta('recordSum'),
    digest: await meta('digest'),
    fold: await meta('fold'),
    recovery: await meta('recovery'),
  };
}

/** As a build of the first release leaves a phone, which has pulled everything. */
async function older(nursery: Nursery): Promise<Phone> {
  build.fold = 0;
  const phone = await openTab(nursery, DEVICE);
  await phone.syncs();
  return phone;
}

test('a phone whose app makes no records of a new kind has the same notes, and neither side calls that a difference', async () => {
  const nursery = withTraces();
  const phone = await older(nursery);
  expect(nursery.digests).toEqual([{ equal: true, records: false }]);
  expect((await holds(phone)).digest).toMatchObject({ equal: true, older: true, position: nursery.journal.length });
  expect((await holds(phone)).records.filter(([key]) => String(key).startsWith('trace:')).every((row) => !row[4])).toBe(
    true,
  );
  expect(nursery.asked.filter((path) => path === '/api/pull')).toHaveLength(1);
});

test('a server of an older build that finds other records is not taken for one that has other notes', async () => {
  const nursery = withTraces(new Older());
  nursery.fold = 0;
  const phone = await openTab(nursery, DEVICE);
  await phone.syncs();
  const { digest } = await holds(phone);
  expect(digest).toMatchObject({ equal: true });
  expect(digest?.older).toBeUndefined();
  expect(nursery.asked.filter((path) => path === '/api/pull')).toHaveLength(1);
});

test('updated, and closed between any two pages, it holds what a phone does that knew the kind from the beginning', async () => {
  const nursery = withTraces();
  const fresh = await openTab(nursery, OTHER);
  await fresh.syncs();
  const { digest: _when, ...expected } = await holds(fresh);
  expect(expected.fold).toBe(1);
  let closed = 0;
  for (let writes = 0, more = true; more; writes++) {
    build.PAGE = 500;
    const before = await older(nursery);
    Object.assign(build, { fold: 1, PAGE: 5 });
    const app = closeAfter(writes);
    // It may be closed as it starts, too.
    const phone = await openTab(nursery, DEVICE, { disk: before.disk }).catch(() => undefined);
    await phone?.syncs();
    more = app.wasClosed();
    if (more) closed++;
    vi.restoreAllMocks();
    const reopened = await openTab(nursery, DEVICE, { disk: before.disk });
    await reopened.syncs();
    const { digest, ...held } = await holds(reopened);
    expect(held, `closed after ${writes} writes`).toEqual(expected);
    expect(digest).toMatchObject({ equal: true });
    expect(digest?.older).toBeUndefined();
    expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
  }
  // 27 entries in pages of 5.
  expect(closed).toBeGreaterThan(5);
});

test('of a kind that a build knows no more it keeps the notes and no records', async () => {
  const nursery = withTraces();
  const phone = await openTab(nursery, DEVICE);
  await phone.syncs();
  build.fold = 0;
  const set = await openTab(nursery, DEVICE, { disk: phone.disk });
  await set.syncs();
  const { records, sum, fold } = await holds(set);
  const never = await holds(await older(nursery));
  expect(records.filter(([, , , , hash]) => hash)).toEqual(never.records.filter(([, , , , hash]) => hash));
  expect([sum, fold]).toEqual([never.sum, 0]);
});
