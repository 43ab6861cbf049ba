/** Two tabs of one phone that belong to two builds: the database takes a new shape only when every old tab has let go. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Device, Nursery } from './harness.ts';
import { openSmallNursery } from './small.ts';
import { hasEverything, kept, keptHere, notesPot, potsNoted, seesBeds, startsWalk, until } from './walking.ts';

let nursery: Nursery;
/** Out of range, with a walk of one pot. */
let phone: Device;

beforeAll(async () => {
  nursery = await openSmallNursery();
  phone = await nursery.phone('scout');
  await seesBeds(phone);
  await phone.isReadyForTheField();
  await hasEverything(phone);
  await phone.goesOutOfRange();
  await phone.page.locator('.lines li:not(.shut) a').first().tap();
  await startsWalk(phone);
  await notesPot(phone, { head: '30', buds: '42' });
});
afterAll(() => nursery.close());

interface Content {
  name: string;
  keyPath: string | null;
  keys: unknown[];
  values: unknown[];
}

/** Everything that is in the phone's database. Runs in the page. */
async function everything(): Promise<Content[]> {
  const of = <T>(asked: IDBRequest<T>) =>
    new Promise<T>((done, fail) => {
      asked.addEventListener('success', () => done(asked.result));
      asked.addEventListener('error', () => fail(asked.error ?? new Error('not read')));
    });
  const open = await of(indexedDB.open('bedwalk'));
  const read = open.transaction([...open.objectStoreNames]);
  const content = await Promise.all(
    [...open.objectStoreNames].map(async (name) => {
      const store = read.objectStore(name);
      const [keys, values] = await Promise.all([of(store.getAllKeys()), of<unknown[]>(store.getAll())]);
      return { name, keyPath: store.keyPath as string | null, keys, values };
    }),
  );
  open.close();
  return content;
}

/** Makes a database in the shape of the first build, and keeps it open as that build did. Runs in the page. */
async function holdsOldShape(content: readonly Content[]): Promise<void> {
  const asked = indexedDB.open('bedwalk', 1);
  asked.addEventListener('upgradeneeded', () => {
    // The first build had no packs, and of this nursery there are none.
    for (const { name, keyPath, keys, values } of content.filter(({ name }) => !name.startsWith('pack'))) {
      const store = asked.result.createObjectStore(name, { keyPath });
      if (name === 'entries') {
        store.createIndex('keys', 'keys', { multiEntry: true });
        for (const index of ['pending', 'own', 'parked', 'state']) store.createIndex(index, index);
      }
      if (name === 'records')
        for (const index of ['walk', 'fact', 'factBed', 'factLot']) store.createIndex(index, index);
      values.forEach((value, i) => {
        // The first build let no lot go; and what it did not write would come out of the copy in another shape.
        if (keys[i] === 'gone') return;
        if (keyPath === null) store.put(value, keys[i] as string);
        else store.put(value);
      });
    }
  });
  await new Promise((done, fail) => {
    asked.addEventListener('success', done);
    asked.addEventListener('error', () => fail(asked.error ?? new Error('not opened')));
  });
  Object.assign(globalThis, { held: asked.result });
}

/** From its next start on a page asks for the database in the shape of a build to come. Runs in the page. */
function asNewerBuild(): void {
  const open = IDBFactory.prototype.open;
  IDBFactory.prototype.open = function (name: string, version?: number) {
    return open.call(this, name, name === 'bedwalk' && version !== undefined ? version + 1 : version);
  };
}

test('a newer Bedwalk in another tab: the old tab lets go by itself, keeps the half noted pot, and asks to be reloaded', async () => {
  const before = await kept(phone);
  await phone.page.getByRole('button', { name: '2', exact: true }).dispatchEvent('click');
  await phone.page.getByRole('button', { name: '9', exact: true }).dispatchEvent('click');
  const newer = await phone.page.context().newPage();
  newer.on('pageerror', (error) => phone.troubles.push(error.message));
  await newer.addInitScript(asNewerBuild);
  await newer.goto('/');
  await newer.locator('.lines a').first().waitFor();
  expect(await newer.getByText(/Bedwalk is open in another tab/).count()).toBe(0);
  expect(await newer.evaluate(keptHere)).toMatchObject({ waiting: before.waiting, drafts: 1 });

  await phone.sees('A newer version of Bedwalk is open in another tab');
  // Nothing more can be tapped, and Escape does not let anybody past.
  for (const _ of [1, 2]) await phone.page.keyboard.press('Escape');
  await phone.sees('A newer version of Bedwalk is open in another tab');
  const { x, y } = (await phone.page.locator('.pad button').first().boundingBox()) ?? { x: 0, y: 0 };
  const met = (at: { x: number; y: number }) => document.elementFromPoint(at.x, at.y)?.tagName;
  expect(await phone.page.evaluate(met, { x: x + 9, y: y + 9 })).toBe('DIALOG');
  expect(await phone.accessibilityFaults()).toEqual([]);
  await phone.picture('tab-outdated');
  await phone.page.addInitScript(asNewerBuild);
  await Promise.all([phone.page.waitForEvent('load'), phone.taps('Reload')]);
  await phone.page.locator('.traits').waitFor();
  expect(await phone.page.locator('.traits b').first().textContent()).toBe('29');
  expect(await potsNoted(phone)).toBe(1);
});

test('an old tab that does not let go: the new one says what to do, and starts by itself when it has', async () => {
  const earlier = phone;
  const [before, content] = [await kept(earlier), await earlier.page.evaluate(everything)];
  // The same phone in a browser that has not run this build: a tab that is just closing would be in the way.
  phone = await nursery.strangePhone();
  await phone.page.context().addCookies(await earlier.page.context().cookies());
  await earlier.page.context().close();
  const old = phone.page;
  await old.goto('/build.json');
  await old.evaluate(holdsOldShape, content);
  await phone.opensAnotherTab('/');
  await phone.sees(/^An older version of Bedwalk is open in another tab/);
  expect(await phone.accessibilityFaults()).toEqual([]);
  await phone.picture('tab-blocked');
  await old.evaluate(() => (globalThis as unknown as { held: IDBDatabase }).held.close());
  await seesBeds(phone);
  expect(await phone.page.getByText(/^An older version of Bedwalk/).count()).toBe(0);
  await phone.taps('Continue the walk');
  await phone.page.locator('.traits').waitFor();
  expect(await potsNoted(phone)).toBe(1);
  const all = before.position + before.waiting;
  const after = await until(phone, (now) => now.waiting === 0 && now.position >= all && now.agreedTo === now.head);
  expect(after.position).toBe(all);
});

test('a build that is older than the notes on the phone says so, and does not touch them', async () => {
  const before = await kept(phone);
  await phone.leavesTheApp();
  await phone.page.evaluate(async () => {
    const asked = indexedDB.open('bedwalk', 99);
    await new Promise((done, fail) => {
      asked.addEventListener('success', done);
      asked.addEventListener('error', fail);
    });
    asked.result.close();
  });
  await phone.opens('/');
  await phone.sees(/^A newer version saved the notes on this phone/);
  await phone.picture('tab-older-build');
  expect(await kept(phone)).toEqual(before);
});
