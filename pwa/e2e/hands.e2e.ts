/** Hands, eyes and phones that differ: a caliper, steps, inches, a left hand, large text, a full phone, the home screen. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Device, Nursery } from './harness.ts';
import { BED_1, LOT_1, openSmallNursery } from './small.ts';
import { turnsTo } from './states.ts';
import { kept, opensBed, potsNoted, seesBeds, startsWalk, walkOf } from './walking.ts';

let nursery: Nursery;
let scout: Device;
let walk = '';

beforeAll(async () => {
  nursery = await openSmallNursery();
  scout = await nursery.phone('scout');
  await scout.page.context().addInitScript(listens);
  await scout.isReadyForTheField();
  await scout.opens('/');
  await seesBeds(scout);
});
afterAll(() => nursery?.close());

/** What the app asks of the phone itself, written down by stand-ins. Runs in the page. */
function listens(): void {
  const heard: string[] = [];
  Object.assign(globalThis, { heard });
  navigator.vibrate = (pattern) => {
    heard.push(`tick ${String(pattern)}`);
    return true;
  };
  const request = async () => {
    heard.push('awake');
    return { release: async () => void heard.push('may sleep') };
  };
  Object.defineProperty(navigator, 'wakeLock', { configurable: true, value: { request } });
}

const heard = (): Promise<string[]> =>
  scout.page.evaluate(() => [...(globalThis as unknown as { heard: string[] }).heard]);

const tabs = () => scout.page.locator('.traits b').allTextContents();
const isAt = (trait: string) => scout.page.locator('.traits .on', { hasText: trait }).waitFor();
const key = (name: string) => scout.page.getByRole('button', { name, exact: true }).first();

async function choosesInSettings(question: string, card: string): Promise<void> {
  await turnsTo(scout, '/settings');
  await scout.page.getByRole('group', { name: question }).getByText(card, { exact: true }).tap();
}

async function goesOn(): Promise<void> {
  await turnsTo(scout, `/walk/${walk}`);
  await scout.page.locator('.traits').waitFor();
}

/** Notes the rest of the pot whose head and buds are there, and waits for the next. */
async function endsPot(): Promise<void> {
  const before = await potsNoted(scout);
  await key('More').tap();
  await scout.taps('Save the pot as is');
  await scout.page.waitForFunction(
    (count) => new RegExp(`^pot ${count} `).test(document.querySelector('.top .small')?.textContent ?? ''),
    before + 2,
  );
}

/** What the newest pot of this phone says. */
async function lastPot(): Promise<Record<string, unknown>> {
  return scout.page.evaluate(async () => {
    const open = await new Promise<IDBDatabase>((done) => {
      const asked = indexedDB.open('bedwalk');
      asked.addEventListener('success', () => done(asked.result));
    });
    const rows = await new Promise<{ own?: [string, number, number]; entry: { kind: string; body: unknown } }[]>(
      (done) => {
        const asked = open.transaction('entries').objectStore('entries').getAll();
        asked.addEventListener('success', () => done(asked.result));
      },
    );
    open.close();
    const own = rows.filter((row) => row.own && row.entry.kind === 'observation');
    own.sort((a, b) => (a.own?.[2] ?? 0) - (b.own?.[2] ?? 0));
    return own.at(-1)?.entry.body as Record<string, unknown>;
  });
}

describe('in a walk', () => {
  test('the screen stays on from its start, again after the phone was in the pocket, and may sleep at its end', async () => {
    await opensBed(scout, 'Heron, H1');
    expect(await heard()).not.toContain('awake');
    await startsWalk(scout);
    walk = walkOf(scout);
    await expect.poll(async () => (await heard()).filter((each) => each === 'awake').length).toBe(1);
    await scout.page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
    await expect.poll(async () => (await heard()).filter((each) => each === 'awake').length).toBe(2);
    await turnsTo(scout, `/walk/${walk}/end`);
    await expect.poll(async () => (await heard()).at(-1)).toBe('may sleep');
    await goesOn();
  });

  test('each tap is felt', async () => {
    await key('3').tap();
    await expect.poll(async () => (await heard()).at(-1)).toMatch(/^tick \d+$/);
    await scout.taps('Undo');
  });

  test('a caliper that types goes from the first diameter to the second, and on to the buds', async () => {
    await scout.page.keyboard.type('312.46');
    await scout.page.keyboard.press('Enter');
    await scout.page.keyboard.type('298.11');
    await scout.page.keyboard.press('Enter');
    await isAt('buds');
    expect((await tabs())[0]).toBe('31.2 × 29.8');
    // A third size has no place among the buds.
    await scout.page.keyboard.type('301.02');
    await scout.page.keyboard.press('Enter');
    await scout.sees('The caliper sent a size, but this is the bud count. Not saved.');
    expect((await tabs())[1]).toBe('–');
    await scout.page.keyboard.type('43');
    await scout.page.keyboard.press('Enter');
    await isAt('roots');
    await endsPot();
    expect(await lastPot()).toMatchObject({ head_a_mm: 312, head_b_mm: 298, buds: 43 });
  });

  test('a small pot whose size the caliper sends as 95 is of 95 millimetres', async () => {
    await scout.page.keyboard.type('95');
    await scout.page.keyboard.press('Enter');
    await endsPot();
    expect(await lastPot()).toMatchObject({ head_a_mm: 95 });
  });

  test('in steps, without aiming, and one step too far is taken back', async () => {
    await key('More').tap();
    await scout.taps('+ − keys');
    for (let step = 0; step < 6; step++) await scout.taps('5 cm more');
    await scout.taps('½ cm more');
    await scout.taps('Buds ›');
    for (let step = 0; step < 4; step++) await scout.taps('10 more');
    for (let step = 0; step < 3; step++) await scout.taps('1 more');
    await scout.taps('1 less');
    await endsPot();
    expect(await lastPot()).toMatchObject({ head_a_mm: 305, buds: 42 });
  });

  test('in inches: twelve steps of an inch are twelve inches, and quarters are kept', async () => {
    await choosesInSettings('Length', 'inches');
    await goesOn();
    for (let step = 0; step < 12; step++) await scout.taps('1 in more');
    await expect.poll(async () => (await tabs())[0]).toBe('12');
    await scout.taps('¼ in more');
    await endsPot();
    // 12.25 in are 311.15 mm by definition of the inch.
    expect(await lastPot()).toMatchObject({ head_a_mm: 311 });
    await choosesInSettings('Length', 'centimetres');
    await choosesInSettings('Enter numbers with', 'keypad');
  });

  test('for a left hand the seldom keys and Next lie on the left, and the digits stay in their order', async () => {
    await goesOn();
    const left = async (name: string) => (await key(name).boundingBox())?.x ?? 0;
    expect(await left('Erase the last digit')).toBeGreaterThan(await left('9'));
    expect(await left('Buds ›')).toBeGreaterThan(await left('More'));
    await choosesInSettings('Tapping hand', 'left');
    await goesOn();
    expect(await left('Erase the last digit')).toBeLessThan(await left('7'));
    expect(await left('7')).toBeLessThan(await left('8'));
    expect(await left('8')).toBeLessThan(await left('9'));
    expect(await left('Buds ›')).toBeLessThan(await left('Undo'));
    await choosesInSettings('Tapping hand', 'right');
  });

  test('large text is larger in the walk too', async () => {
    const size = () =>
      scout.page.locator('.place').evaluate((line) => Number.parseFloat(getComputedStyle(line).fontSize));
    await goesOn();
    const normal = await size();
    await choosesInSettings('Text size', 'large');
    await goesOn();
    expect(await size()).toBeGreaterThan(normal * 1.15);
    await choosesInSettings('Text size', 'normal');
  });

  test('a skipped pot is taken up again by the same Undo that takes back a tap', async () => {
    await goesOn();
    const place = await scout.page.locator('.place').textContent();
    await scout.taps('More');
    await scout.taps('Skip this pot');
    await scout.taps('no pot there');
    await scout.sees('Pot skipped.');
    await scout.page.locator('.foot .undo').tap();
    await expect.poll(() => scout.page.locator('.place').textContent()).toBe(place);
  });
});

describe('a phone that is nearly full', () => {
  const isFull = (share: number) =>
    scout.page.evaluate((used) => {
      navigator.storage.estimate = async () => ({ usage: used * 1e9, quota: 1e9 });
    }, share);

  test('says in the settings how much is used', async () => {
    await turnsTo(scout, '/settings');
    await scout.sees(/^[\d.,]+ MB used of [\d.,]+ MB$/);
  });

  test('takes no photos any more, and notes as ever', async () => {
    await isFull(0.9);
    await turnsTo(scout, `/work/photo?bed=${BED_1}&lot=${LOT_1}`);
    await scout.sees(/^The phone is nearly full, so no photos for now/);
    expect(await scout.page.locator('input[type=file]:enabled').count()).toBe(0);
    const before = (await kept(scout)).waiting;
    await scout.goesOutOfRange();
    await turnsTo(scout, `/work/note?bed=${BED_1}&lot=${LOT_1}`);
    await scout.page.getByRole('textbox').fill('The fan end is dry.');
    await scout.taps(/^Save$/);
    await expect.poll(async () => (await kept(scout)).waiting).toBe(before + 1);
    await isFull(0.1);
    await turnsTo(scout, `/work/photo?bed=${BED_1}&lot=${LOT_1}`);
    await expect.poll(() => scout.page.locator('input[type=file]:enabled').count()).toBe(2);
  });

  test('when there is room for no note at all it says so, keeps the card, and saves it once there is room', async () => {
    await goesOn();
    const [seq, pots] = [(await kept(scout)).waiting, await potsNoted(scout)];
    await scout.page.evaluate(fills);
    await key('3').tap();
    await scout.sees(/^NOT saved: the phone is full/);
    await key('1').tap();
    await isAt('buds');
    await key('More').tap();
    await scout.taps('Save the pot as is');
    await scout.sees(/^NOT saved: the phone is full. Free some space, then tap again/);
    expect((await tabs())[0]).toBe('31');
    expect(await potsNoted(scout)).toBe(pots);
    expect((await kept(scout)).waiting).toBe(seq);
    await scout.page.evaluate(() => (globalThis as unknown as { empties: () => void }).empties());
    await endsPot();
    expect(await lastPot()).toMatchObject({ head_a_mm: 310 });
    expect((await kept(scout)).waiting).toBe(seq + 1);
    await scout.comesIntoRange();
  });
});

/** A disk on which nothing more can be written, as IndexedDB tells of it. Runs in the page. */
function fills(): void {
  const { add, put } = IDBObjectStore.prototype;
  const full = () => {
    throw new DOMException('the disk is full', 'QuotaExceededError');
  };
  Object.assign(IDBObjectStore.prototype, { add: full, put: full });
  Object.assign(globalThis, { empties: () => Object.assign(IDBObjectStore.prototype, { add, put }) });
}

describe('on the home screen', () => {
  const offers = () =>
    scout.page.evaluate(() => {
      const offer = new Event('beforeinstallprompt', { cancelable: true });
      Object.assign(offer, { prompt: async () => (globalThis as unknown as { heard: string[] }).heard.push('asked') });
      dispatchEvent(offer);
      return offer.defaultPrevented;
    });

  test('the browser’s offer is held back, made in our words, and passed on when it is taken up', async () => {
    await turnsTo(scout, '/');
    expect(await offers()).toBe(true);
    await scout.taps('Add to home screen');
    await expect.poll(async () => (await heard()).at(-1)).toBe('asked');
    await scout.page.getByText('Add to home screen').waitFor({ state: 'detached' });
  });

  test('who says "Later" is not asked again', async () => {
    await offers();
    await scout.taps('Later');
    await scout.page.getByText('Add to home screen').waitFor({ state: 'detached' });
    await scout.opens('/');
    await seesBeds(scout);
    await offers();
    expect(await scout.page.getByText('Add to home screen').count()).toBe(0);
  });
});
