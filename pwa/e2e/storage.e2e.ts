/** The phone's own storage fails: the database cannot be opened, or cannot be read, or a record in it is damaged. */
import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest';
import type { BedView, Entry } from '../../schema/types.ts';
import { Caller } from './caller.ts';
import type { Device, Nursery } from './harness.ts';
import { shows } from './pages.ts';
import { BED_1, openSmallNursery } from './small.ts';
import { hasEverything, kept, notesPot, opensBed, potsNoted, seesBeds, startsWalk, until, walkOf } from './walking.ts';

let nursery: Nursery;
let office: Caller;
let phone: Device;
let walk: string;
/** How many pots the walk has. */
let noted = 0;

beforeAll(async () => {
  nursery = await openSmallNursery();
  office = await Caller.pairs(nursery, 'supervisor');
  phone = await nursery.phone('scout');
  await seesBeds(phone);
  await phone.isReadyForTheField();
  await opensBed(phone, 'Heron, H1');
  await startsWalk(phone);
  walk = walkOf(phone);
});

/** The phone is out of range, in a walk of which all but two pots was sent. */
beforeEach(async () => {
  await phone.comesIntoRange();
  await startsWith(undefined, `/walk/${walk}`);
  await phone.page.locator('.traits').waitFor();
  await hasEverything(phone);
  await phone.goesOutOfRange();
  for (const buds of ['42', '43']) await notesPot(phone, { head: '30', buds });
  noted += 2;
  await until(phone, (now) => now.waiting === 2);
});
afterAll(() => nursery.close());

/** From its next start on the page is refused the database, as by Chromium when its files are damaged. Runs in the page. */
function refusesToOpen(): void {
  const { open } = IDBFactory.prototype;
  IDBFactory.prototype.open = function (name: string, version?: number) {
    if (name !== 'bedwalk') return open.call(this, name, version);
    const error = new DOMException('Internal error opening backing store for indexedDB.open.', 'UnknownError');
    const asked = new EventTarget();
    Object.defineProperty(asked, 'error', { value: error });
    Object.setPrototypeOf(asked, IDBOpenDBRequest.prototype);
    queueMicrotask(() => asked.dispatchEvent(new Event('error')));
    return asked as IDBOpenDBRequest;
  };
}

/** From its next start on the page cannot read one store. Runs in the page. */
function refusesToRead(): void {
  const { getAll } = IDBObjectStore.prototype;
  IDBObjectStore.prototype.getAll = function (...asked: Parameters<typeof getAll>) {
    if (this.name === 'records') throw new DOMException('Internal error retrieving keys.', 'UnknownError');
    return getAll.apply(this, asked);
  };
}

async function startsWith(fault: (() => void) | undefined, path = '/'): Promise<void> {
  await phone.page.close();
  await phone.opensAnotherTab(path, fault);
}

test('the database cannot be opened: the phone says what is safe and what to do, and has all notes when it can be opened again', async () => {
  await phone.opens('/notes');
  await phone.sees(/^2 notes to send/);
  await phone.page.waitForFunction(() => localStorage.getItem('bedwalk-outbox')?.includes('"pending":2'));
  await startsWith(refusesToOpen);
  await phone.sees('The notes on this phone cannot be opened');
  await phone.sees('Every note that was sent is on the server.');
  await phone.sees(/^Not sent at the last count \(.*\): 2 notes\./);
  await phone.sees(/^Do not clear the browser’s data/);
  await phone.taps('Save unsent notes to a file');
  await phone.sees(/^No unsent note can be read now\./);
  expect(await phone.accessibilityFaults()).toEqual([]);
  await phone.picture('storage-not-opened');
  await phone.page.evaluate(() => localStorage.setItem('bedwalk-settings', '{"language":"es"}'));
  await phone.taps('Try again');
  await phone.sees('No se pueden abrir las notas de este teléfono');
  await phone.picture('storage-not-opened-es');
  await phone.page.evaluate(() => localStorage.setItem('bedwalk-settings', '{"language":"en"}'));

  await startsWith(undefined);
  await phone.sees(new RegExp(`${noted} pots noted, not ended$`));
  expect((await kept(phone)).waiting).toBe(2);
});

test('the records cannot be read at the start: unsent notes go into a file for the supervisor, and in range by themselves to the server', async () => {
  await startsWith(refusesToRead);
  await phone.sees('The notes on this phone cannot be opened');
  const [file] = await Promise.all([phone.page.waitForEvent('download'), phone.taps('Save unsent notes to a file')]);
  await phone.sees('2 notes could be read and are in the file.');
  const { entries } = JSON.parse(readFileSync(await file.path(), 'utf8')) as { entries: Entry[] };
  expect(entries.map(({ kind }) => kind)).toEqual(['observation', 'observation']);

  // The supervisor brings the file in, twice.
  expect(await pots()).toBe(noted - 2);
  const desk = await nursery.desk('supervisor');
  await shows(desk, '/phones');
  const unsent = {
    name: file.suggestedFilename(),
    mimeType: 'application/json',
    buffer: readFileSync(await file.path()),
  };
  const input = desk.page.locator('.file-in input');
  await input.setInputFiles(unsent);
  await desk.sees('2 notes in the file: 2 merged, 0 already here, 0 held for your decision above.');
  await input.setInputFiles(unsent);
  await desk.sees('2 notes in the file: 0 merged, 2 already here, 0 held for your decision above.');
  await input.setInputFiles({ ...unsent, buffer: Buffer.from('{"bedwalk":"diary"}') });
  await desk.sees(/^This file has no unsent notes/);
  expect(await desk.accessibilityFaults()).toEqual([]);
  await desk.picture('phones-file-desk');
  expect(await pots()).toBe(noted);

  // No tap: what waits goes, although the screen has nothing to show, and no note counts twice.
  await phone.comesIntoRange();
  await until(phone, (now) => now.waiting === 0);
  expect(await pots()).toBe(noted);
});

/** How many pots of the walk the server has. */
const pots = async () => (await office.view<BedView>(`beds/${BED_1}`)).pots.length;

/** Writes what is no JSON over the text of records. Runs in the page. */
async function damages(keys: readonly string[]): Promise<void> {
  const asked = indexedDB.open('bedwalk');
  await new Promise((done, fail) => {
    asked.addEventListener('success', done);
    asked.addEventListener('error', () => fail(asked.error ?? new Error('not opened')));
  });
  const open = asked.result;
  const work = open.transaction('records', 'readwrite');
  const records = work.objectStore('records');
  for (const key of keys) {
    const row = records.get(key);
    row.addEventListener('success', () => records.put({ ...(row.result as object), text: '{"key":"be\u0000\u0000' }));
  }
  await new Promise((done) => work.addEventListener('complete', done));
  open.close();
}

test('records are damaged: the phone makes them again from their notes, says that nothing is lost, and agrees with the server', async () => {
  const ofWalk = await phone.page.evaluate(async () => {
    const asked = indexedDB.open('bedwalk');
    await new Promise((done) => asked.addEventListener('success', done));
    const keys = asked.result.transaction('records').objectStore('records').index('walk').getAllKeys();
    await new Promise((done) => keys.addEventListener('success', done));
    asked.result.close();
    return keys.result as string[];
  });
  expect(ofWalk).toHaveLength(noted);
  await phone.leavesTheApp();
  await phone.page.evaluate(damages, [`bed:${BED_1}`, `walk:${walk}`]);
  await phone.opens('/');
  await phone.sees('2 records on this phone were damaged and rebuilt from the notes. Nothing is lost.');
  await phone.sees(new RegExp(`^Heron, H1: ${noted} pots noted, not ended$`));
  expect(await phone.accessibilityFaults()).toEqual([]);
  await phone.picture('storage-mended');
  await phone.taps('Close');
  expect(await phone.page.getByText(/Nothing is lost/).count()).toBe(0);

  // Those stay repaired, so only new damage is reported; a walk's pots are read when it is opened.
  await phone.leavesTheApp();
  await phone.page.evaluate(damages, ofWalk.slice(-2));
  await phone.opens('/');
  await phone.sees('2 records on this phone were damaged and rebuilt from the notes. Nothing is lost.');
  await phone.taps('Continue the walk');
  await phone.page.locator('.traits').waitFor();
  expect(await potsNoted(phone)).toBe(noted);
  await phone.comesIntoRange();
  const now = await until(phone, (each) => each.waiting === 0 && each.agreedTo === each.head);
  expect(now.position).toBe(now.head);
});
