/** Why a bed is due, from notes as phones write them: a walk that was left off after a few pots does not clear it. */
import 'fake-indexeddb/auto';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { Nursery, openTab } from '../../../journal/nursery.testing';

const DAY_MS = 86_400_000;
const id = (digit: string) => digit.repeat(32);
const [bed, lot, span, ana, ilse] = [id('2'), id('3'), id('4'), id('a'), id('c')];
const [earlier, walk] = [id('5'), id('6')];

beforeEach(() => vi.stubGlobal('requestIdleCallback', (idle: () => void) => idle()));
afterEach(() => vi.unstubAllGlobals());

/** Ana's notes of one bed, as they are seen on her phone, or on Ilse's once they are there. */
async function bedOfAna() {
  const { registers, write, syncs } = await openTab(new Nursery(), '00000000000000d1', { person: ana });
  // There is nothing to read at the server, which the phone has to know before it calls a bed due.
  await syncs();
  await (await import('../../../journal/inbox/arriving')).followArriving();
  const due = await import('./due');
  const { startBriefs } = await import('../../../journal/records/briefs');
  const { me } = await import('../../../state');
  const isHeldBy = (person: string) => (me.value = { person } as NonNullable<typeof me.value>);
  isHeldBy(ana);
  await registers.load();
  const { note } = write;
  await note('person', { of: ana, name: 'Ana', role: 'scout' });
  await note('bed', { of: bed, name: 'H5', rows: 60, across: 10 });
  await note('lot', { of: lot, tag: 'AZ-101', crop: 'azalea' });
  await note('span', { of: span, lot, bed, from_row: 1, to_row: 60 });
  await registers.loadRest();
  startBriefs();
  const begins = (of: string) => note('walk', { walk: of, bed, seed: 1, planned: 8 });
  const looksAt = async (of: string, rows: readonly number[], chlorosis: 'none' | 'young') => {
    for (const row of rows) {
      await note('observation', { walk: of, bed, lot, place: { row, across: 1 }, chlorosis });
    }
  };
  const ends = (of: string) => note('walk_end', { walk: of, bed, why: 'stopped' });
  const lineIs = (wanted: object) => vi.waitFor(() => expect(due.bedLines(Date.now())).toMatchObject([wanted]), 20_000);
  const isIn = async (time_zone: string) => (await import('../../../words/format')).followZone(time_zone);
  return { isHeldBy, isIn, begins, looksAt, ends, lineIs };
}

/** The same bed after a walk four days ago that was ended and saw chlorosis on so many pots that the test calls it trouble. */
async function bedWithTrouble() {
  const it = await bedOfAna();
  vi.useFakeTimers({ toFake: ['Date'], now: Date.now() - 4 * DAY_MS });
  await it.begins(earlier);
  await it.looksAt(earlier, [1, 7, 13, 19, 25, 31, 37, 43, 49, 55], 'young');
  await it.ends(earlier);
  vi.useRealTimers();
  await it.lineIs({ due: 'chlorosis', days: 4, inProgress: undefined });
  return it;
}

test('a bed stays due while somebody is in it, and is not once that walk is ended', async () => {
  const { begins, looksAt, ends, lineIs } = await bedWithTrouble();
  await begins(walk);
  await lineIs({ due: 'chlorosis', days: 4, inProgress: { name: '', pots: 0 } });
  await looksAt(walk, [1, 3, 5, 7, 9], 'none');
  await lineIs({ due: 'chlorosis', days: 4, inProgress: { name: '', pots: 5 } });
  await ends(walk);
  await lineIs({ due: '', days: 0, inProgress: undefined });
});

test('it is due no more either once the walk has seen as many pots as its plan wanted', async () => {
  const { begins, looksAt, lineIs } = await bedWithTrouble();
  await begins(walk);
  await looksAt(walk, [1, 3, 5, 7, 9, 11, 13], 'none');
  await lineIs({ due: 'chlorosis', inProgress: { pots: 7 } });
  await looksAt(walk, [50], 'none');
  await lineIs({ due: '', days: 0, inProgress: { pots: 8 } });
});

test('a single pale pot makes no bed due before its time, and a bed that is late is said to be late first', async () => {
  const { begins, looksAt, ends, lineIs } = await bedOfAna();
  vi.useFakeTimers({ toFake: ['Date'], now: Date.now() - 4 * DAY_MS });
  await begins(earlier);
  await looksAt(earlier, [1], 'young');
  await looksAt(earlier, [7, 13, 19, 25, 31, 37, 43, 49, 55], 'none');
  await ends(earlier);
  vi.useRealTimers();
  await lineIs({ due: '', days: 4 });
  vi.useFakeTimers({ toFake: ['Date'], now: Date.now() + 5 * DAY_MS });
  const { bedLines } = await import('./due');
  expect(bedLines(Date.now())).toMatchObject([{ due: 'days', days: 9 }]);
  vi.useRealTimers();
});

test('who is in the bed is named on the phone of a colleague', async () => {
  const { isHeldBy, begins, looksAt, lineIs } = await bedWithTrouble();
  await begins(walk);
  await looksAt(walk, [1, 3, 5, 7, 9], 'none');
  isHeldBy(ilse);
  await lineIs({ due: 'chlorosis', inProgress: { name: 'Ana', pots: 5 } });
});

test('a walk that was left off long ago clears nothing, and nobody is in the bed any more', async () => {
  const { begins, looksAt, lineIs } = await bedOfAna();
  vi.useFakeTimers({ toFake: ['Date'], now: Date.now() - 15 * DAY_MS });
  await begins(earlier);
  await looksAt(earlier, [1, 3, 5], 'none');
  vi.useRealTimers();
  await lineIs({ due: 'days', days: 15, brief: { seen: 3 }, inProgress: undefined });
});

// 09:00 and 11:00 UTC are one day in London and two on Kiritimati (UTC+14, IANA time zone database); with the office's server it
// is the nursery's own midnights that count, wherever the phone was bought.
test.each([
  ['Pacific/Kiritimati', 1],
  ['Europe/London', 0],
])('days since a walk are counted by the midnights of the nursery: %s', async (zone, days) => {
  const { isIn, begins, looksAt, ends, lineIs } = await bedOfAna();
  await isIn(zone);
  vi.useFakeTimers({ toFake: ['Date'], now: Date.UTC(2026, 10, 25, 9) });
  await begins(earlier);
  await looksAt(earlier, [1, 7, 13, 19, 25, 31, 37, 43], 'none');
  await ends(earlier);
  vi.setSystemTime(Date.UTC(2026, 10, 25, 11));
  await lineIs({ due: '', days });
  vi.useRealTimers();
});
