/** What the phone does when an answer does not come, or one that came cannot be read: nothing is taken of it, and all else goes on. */
import { afterEach, expect, test, vi } from 'vitest';
import type { Entry } from '../../../schema/types';
import { json, problem } from './answers.testing';
import { meta, type Phone } from './letgo/phones.testing';
import { openTab } from './nursery.testing';
import { A, askedOf, B, expectEqual, PHONE, planted } from './recovery/compared.testing';
import { Comparing } from './recovery/comparing.testing';
import type { LotSum } from './store/shape';

afterEach(() => {
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
  localStorage.clear();
});

const PHOTO = '/api/photos';
const lotPath = (lot: string) => `/api/lots/${lot}/entries`;

/** Answers some requests in the server's place; undefined leaves one to the server. */
function instead(nursery: Comparing, say: (path: string) => Response | 'cut' | undefined): void {
  const real = nursery.answer.bind(nursery);
  nursery.answer = async (device, person, path, init) => {
    const said = say(path.split('?')[0] ?? '');
    if (said === undefined) return real(device, person, path, init);
    nursery.asked.push(path.split('?')[0] ?? '');
    if (said === 'cut') throw new TypeError('network error');
    return said;
  };
}

/** A phone that lacks notes of lot B, with a photo to send. */
async function lacking(nursery: Comparing): Promise<{ phone: Phone; again: () => void }> {
  const [lost] = planted(nursery).get(B) ?? [];
  nursery.skips = ({ id }) => id === lost?.id;
  const phone = await openTab(nursery, PHONE);
  return { phone, again: () => (nursery.skips = () => false) };
}

async function takesPhoto(): Promise<void> {
  const { keepPhoto } = await import('./outbox/photos');
  await keepPhoto({ hash: 'a'.repeat(64), bytes: new ArrayBuffer(9), type: 'image/jpeg', takenAt: 1, pending: 1 });
}

const sum = '0'.repeat(32);

test.each([
  ['a lot that is null', { lots: [null] }],
  ['a lot without its sum', { lots: [{ lot: B, count: 1 }] }],
  ['a lot with a count that is no number', { lots: [{ lot: B, count: '1', sum }] }],
  ['a lot with a sum of other digits', { lots: [{ lot: B, count: 1, sum: 'ABC' }] }],
  ['lots that are no list', { lots: 'all' }],
  ['a name that is null', { differ: [null] }],
  ['a name of records that is a number', { records_differ: [1] }],
  ['more that is neither true nor false', { more: 'yes' }],
])('a digest answer with %s is refused by its code, and photos go', async (_, bad) => {
  const nursery = new Comparing();
  planted(nursery);
  const phone = await openTab(nursery, PHONE);
  await takesPhoto();
  instead(nursery, (path) => (path === '/api/digest' ? json({ equal: false, head: 1, ...bad }) : undefined));
  await phone.syncs();
  expect(phone.sync.syncStatus.value).toMatchObject({ state: 'refused', code: 'unreadable_answer' });
  expect(nursery.asked).toContain(PHOTO);
  expect(await meta(phone, 'digest')).toBeUndefined();
  expect(askedOf(nursery).lots).toEqual([]);
});

test('a digest answer whose lists are null or are not there, and one with lots under other names, is borne', async () => {
  const nursery = new Comparing();
  planted(nursery);
  const phone = await openTab(nursery, PHONE);
  const answers = [
    { equal: true, differ: null, lots: null, records_differ: null, more: null },
    { equal: true },
    {
      equal: false,
      differ: ['__proto__', 'x/y'],
      lots: [
        { lot: '__proto__', count: 1, sum },
        { lot: 'x/y', count: 1, sum },
      ],
    },
  ];
  for (const answer of answers) {
    nursery.hears('note', { words: 'a new day' });
    instead(nursery, (path) => (path === '/api/digest' ? json({ head: 1, ...answer }) : undefined));
    await phone.syncs();
    expect(phone.sync.syncStatus.value.state).toBe('resting');
    expect(await meta(phone, 'digest')).toMatchObject({ equal: answer.equal });
  }
  expect(askedOf(nursery).lots).toEqual([]);
});

test.each([
  ['no receipts', { receipts: undefined }, true],
  ['items that are null', { items: [null] }, false],
  ['an entry that is only an id', { items: [{ position: 1, stamp: {}, entry: { id: 'x' } }] }, false],
  [
    'an entry with a body that is a text',
    { items: [{ position: 1, stamp: {}, entry: { id: 'x', kind: 'count', body: 'x' } }] },
    false,
  ],
  ['no items and more to come', { items: [], more: true }, false],
])('a page of a lot with %s changes nothing or is borne', async (_, bad, isBorne) => {
  const nursery = new Comparing();
  const { phone, again } = await lacking(nursery);
  const real = nursery.answer.bind(nursery);
  nursery.answer = async (device, person, path, init) => {
    const answer = await real(device, person, path, init);
    return path.startsWith(lotPath(B)) ? json({ ...((await answer.json()) as object), ...bad }) : answer;
  };
  await phone.syncs();
  // Two tries of the lot, then the whole journal, which lacks the same note.
  expect(phone.sync.syncStatus.value.state).toBe('resting');
  expect(askedOf(nursery)).toEqual({ lots: [B], reread: !isBorne });
  again();
  if (isBorne) await expectEqual(nursery, phone);
});

test.each(['cut', 'portal'] as const)(
  'a lot whose answer is a %s connection is asked for again as if it had not been',
  async (how) => {
    const nursery = new Comparing();
    const { phone, again } = await lacking(nursery);
    const portal = () => new Response('<html>Welcome</html>', { headers: { 'content-type': 'text/html' } });
    let left = 5;
    instead(nursery, (path) => (path === lotPath(B) && left-- > 0 ? (how === 'cut' ? 'cut' : portal()) : undefined));
    for (let rounds = 0; rounds < 6; rounds++) await phone.syncs();
    // Five times in vain, then two pages.
    expect(nursery.asked.filter((path) => path === lotPath(B))).toHaveLength(7);
    expect(askedOf(nursery).reread).toBe(false);
    again();
    await expectEqual(nursery, phone);
  },
);

test('a lot that is never answered keeps neither the other lots nor the photos, and no try is counted', async () => {
  const nursery = new Comparing();
  const lost = [...planted(nursery).values()].map(([first]) => first?.id);
  nursery.skips = ({ id }) => lost.includes(id);
  const phone = await openTab(nursery, PHONE);
  await takesPhoto();
  let isBroken = true;
  instead(nursery, (path) => (path === lotPath(A) && isBroken ? problem(500, 'internal') : undefined));
  await phone.syncs();
  expect(phone.sync.syncStatus.value.state).toBe('busy');
  expect(nursery.asked).toContain(PHOTO);
  for (let rounds = 0; rounds < 3; rounds++) await phone.syncs();
  expect(askedOf(nursery).lots).toHaveLength(3);
  expect(askedOf(nursery).reread).toBe(false);
  isBroken = false;
  await phone.syncs();
  nursery.skips = () => false;
  await expectEqual(nursery, phone);
});

/** A phone that has let the notes of lot A go and wants them again. */
async function wanting(nursery: Comparing, lots = [A]): Promise<Phone> {
  planted(nursery, lots);
  for (const lot of lots) {
    nursery.hears('count', { lot, change: -7, reason: 'shipped' }, { lot });
    nursery.hears('lot', { of: lot, shipped_on: '2026-05-14' }, { lot });
  }
  nursery.minutesPass(31 * 24 * 60);
  const phone = await openTab(nursery, PHONE);
  await phone.syncs();
  phone.use();
  const { keepLot } = await import('./letgo/keep');
  for (const lot of lots) await keepLot(lot, 'pinned');
  return phone;
}

const goneOf = async (phone: Phone) => [...((await meta<Map<string, LotSum>>(phone, 'gone'))?.keys() ?? [])];

test('a lot that did not prove itself is asked for at the next sync, then after ever more of them', async () => {
  const nursery = new Comparing();
  const phone = await wanting(nursery);
  nursery.spoil = (items) => items.filter(({ entry }) => (entry as Entry).kind !== 'note');
  const asked: boolean[] = [];
  for (let rounds = 0; rounds < 12; rounds++) {
    const before = nursery.asked.length;
    nursery.hears('note', { words: 'another day' });
    await phone.syncs();
    asked.push(nursery.asked.slice(before).includes(lotPath(A)));
  }
  expect(asked.map(Number).join('')).toBe('110100010000');
  expect(await goneOf(phone)).toEqual([A]);
  nursery.spoil = (items) => items;
  for (let rounds = 0; rounds < 12; rounds++) await phone.syncs();
  expect(await goneOf(phone)).toEqual([]);
});

test('a wanted lot that the server cannot give for now keeps neither the others nor digest and photos', async () => {
  const nursery = new Comparing();
  const phone = await wanting(nursery, [A, B]);
  await takesPhoto();
  let isBroken = true;
  instead(nursery, (path) => (path === lotPath(A) && isBroken ? problem(503, 'internal') : undefined));
  nursery.hears('note', { words: 'another day' });
  const digests = nursery.digests.length;
  await phone.syncs();
  expect(phone.sync.syncStatus.value.state).toBe('busy');
  expect(nursery.digests.length).toBeGreaterThan(digests);
  expect(nursery.asked).toContain(PHOTO);
  await phone.syncs();
  expect(await goneOf(phone)).toEqual([A]);
  isBroken = false;
  await phone.syncs();
  expect(await goneOf(phone)).toEqual([]);
});
