/** Hands, eyes, units and phones that differ: a caliper, a left hand, inches, a full phone, weeks out of range. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { BedsView, BedView } from '../../schema/types.ts';
import { cameraFile } from './camera.ts';
import type { Device, Nursery } from './harness.ts';
import { viewOf } from './pages.ts';
import { BED_1, BED_2, LOT_1, openSmallNursery } from './small.ts';
import { turnsTo } from './states.ts';
import { kept, notesPot, opensBed, potsNoted, seesBeds, startsWalk, until, walkOf } from './walking.ts';

const DAY_MS = 86_400_000;

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

async function prefers(changes: Record<string, unknown>): Promise<void> {
  await scout.page.evaluate((chosen) => {
    const slot = 'bedwalk-settings';
    localStorage.setItem(slot, JSON.stringify({ ...JSON.parse(localStorage.getItem(slot) ?? '{}'), ...chosen }));
  }, changes);
  await scout.opens('/');
  await seesBeds(scout);
}

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
  await scout.taps('Save pot as it is');
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
    expect((await heard()).filter((each) => each === 'awake')).toHaveLength(1);
    await scout.page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
    await expect.poll(async () => (await heard()).filter((each) => each === 'awake').length).toBe(2);
    await turnsTo(scout, `/walk/${walk}/end`);
    await expect.poll(async () => (await heard()).at(-1)).toBe('may sleep');
    await goesOn();
  });

  test('each tap is felt', async () => {
    await key('3').tap();
    expect((await heard()).at(-1)).toMatch(/^tick \d+$/);
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
    await scout.sees('A size came where buds are counted. It was not taken.');
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
    await scout.taps('± steps');
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
    await choosesInSettings('Lengths', 'inches');
    await goesOn();
    for (let step = 0; step < 12; step++) await scout.taps('1 in more');
    expect((await tabs())[0]).toBe('12');
    await scout.taps('¼ in more');
    await endsPot();
    // 12.25 in are 311.15 mm by definition of the inch.
    expect(await lastPot()).toMatchObject({ head_a_mm: 311 });
    await choosesInSettings('Lengths', 'centimetres');
    await choosesInSettings('Numbers by', 'keypad');
  });

  test('for a left hand the seldom keys and Next lie on the left, and the digits stay in their order', async () => {
    await goesOn();
    const left = async (name: string) => (await key(name).boundingBox())?.x ?? 0;
    expect(await left('Erase the last digit')).toBeGreaterThan(await left('9'));
    expect(await left('Buds ›')).toBeGreaterThan(await left('More'));
    await choosesInSettings('Hand that taps', 'left');
    await goesOn();
    expect(await left('Erase the last digit')).toBeLessThan(await left('7'));
    expect(await left('7')).toBeLessThan(await left('8'));
    expect(await left('8')).toBeLessThan(await left('9'));
    expect(await left('Buds ›')).toBeLessThan(await left('Undo'));
    await choosesInSettings('Hand that taps', 'right');
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

  test('a pot passed by is taken up again by the same Undo that takes back a tap', async () => {
    await goesOn();
    const place = await scout.page.locator('.place').textContent();
    await scout.taps('More');
    await scout.taps('Pass this pot by');
    await scout.taps('no pot there');
    await scout.sees('Pot passed by.');
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
    await scout.taps('Save pot as it is');
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
    await scout.taps('Put it there');
    await expect.poll(async () => (await heard()).at(-1)).toBe('asked');
    await scout.page.getByText('Put it there').waitFor({ state: 'detached' });
  });

  test('who says "Later" is not asked again', async () => {
    await offers();
    await scout.taps('Later');
    await scout.page.getByText('Put it there').waitFor({ state: 'detached' });
    await scout.opens('/');
    await seesBeds(scout);
    await offers();
    expect(await scout.page.getByText('Put it there').count()).toBe(0);
  });
});

describe('units and mixes', () => {
  test('degrees Fahrenheit are written down as Celsius', async () => {
    await prefers({ units: { length: 'in', temperature: 'F', volume: 'gal' } });
    await turnsTo(scout, `/work/reading?bed=${BED_1}&lot=${LOT_1}`);
    await scout.page.getByLabel(/^Air temperature/).fill('95');
    await scout.sees('°F');
    // 95 °F are 35 °C: hot enough to say what helps.
    await scout.sees(/^Heat: drink water/);
    await scout.taps('Clear this form');
  });

  test('a mix is reckoned in gallons and ounces from the strength on the container, and is no rate', async () => {
    await prefers({ units: { length: 'in', temperature: 'F', volume: 'gal' } });
    await turnsTo(scout, '/work/mix');
    await scout.sees(/This is arithmetic, not a recommendation/);
    await scout.page.getByText('dry: % by weight').tap();
    await scout.page.getByLabel(/^Active ingredient/).fill('85');
    await scout.page.getByLabel(/^Strength/).fill('1000');
    await scout.page.getByLabel('How much mix').fill('1');
    // 1 g/L in 3.785411784 L, of a powder of 85 %: 4.453 g; an ounce is 28.349523125 g.
    await scout.sees('0.1571 oz of product for 1 gal of mix');
    await scout.sees('The same as 4.453 g.');
    await scout.page.getByLabel(/^Active ingredient/).fill('0.05');
    await scout.sees(/^No mix is stronger than its product/);
    await prefers({ units: { length: 'cm', temperature: 'C', volume: 'L' } });
    await turnsTo(scout, '/work/mix');
    expect(await scout.page.getByLabel(/^Strength/).inputValue()).toBe('1000');
    await scout.page.getByText('drench', { exact: true }).tap();
    await scout.page.getByText('liquid: % in volume').tap();
    await scout.page.getByLabel(/^Active ingredient/).fill('0.4');
    await scout.page.getByLabel(/^Strength/).fill('2');
    await scout.page.getByLabel('How many pots').fill('200');
    await scout.page.getByLabel('Mix for each pot').fill('120');
    // 24 L at 2 mg/L are 48 mg, and 0.4 % in volume is 4 mg in each mL.
    await scout.sees('12 mL of product for 24 L of mix');
    await scout.sees('Each pot gets 0.24 mg of active ingredient.');
  });
});

test('wherever something can hurt, it is said in Spanish and in English, beside a sign', async () => {
  await prefers({ language: 'es' });
  const place = `?bed=${BED_1}&lot=${LOT_1}`;
  const hazards: [string, (() => Promise<void>) | undefined, string, string][] = [
    ['application', undefined, 'PELIGRO · PESTICIDAS · NO ENTRE', 'DANGER · PESTICIDES · KEEP OUT'],
    ['application', undefined, 'La etiqueta es la ley.', 'The label is the law.'],
    ['mix', undefined, 'no una recomendación', 'not a recommendation'],
    ['event', () => chooses('al cuarto frío'), 'nunca solo', 'never alone'],
    ['event', () => chooses('a forzado'), 'tome agua', 'drink water'],
    ['event', () => chooses('recortado'), 'use lentes', 'eye protection'],
    ['move', undefined, 'doble las rodillas', 'bend the knees'],
    ['step', undefined, 'doble las rodillas', 'bend the knees'],
    ['reading', () => scout.page.getByLabel('Temperatura del aire').fill('36'), 'tome agua', 'drink water'],
  ];
  for (const [form, first, spanish, english] of hazards) {
    await turnsTo(scout, `/work/${form}${place}`);
    await first?.();
    const told = scout.page.locator('.cautions', { hasText: spanish }).first();
    await told.waitFor();
    expect([form, (await told.textContent())?.includes(english)]).toEqual([form, true]);
    expect([form, (await told.locator('svg.hazard').count()) > 0]).toEqual([form, true]);
  }
  await prefers({ language: 'en' });
});

async function chooses(label: string): Promise<void> {
  await scout.page.getByText(label, { exact: true }).tap();
}

/** From the next start on the phone's clock is so much later. Runs in the page. */
function later(ms: number): void {
  const Real = Date;
  class Later extends Real {
    constructor(...given: ConstructorParameters<typeof Date> | []) {
      if (given.length > 0) super(...(given as ConstructorParameters<typeof Date>));
      else super(Real.now() + ms);
    }

    static override now(): number {
      return Real.now() + ms;
    }
  }
  globalThis.Date = Later as DateConstructor;
}

test('a photo is shown beside the one of the walk before', async () => {
  const take = async () => {
    await turnsTo(scout, `/work/photo?bed=${BED_1}&lot=${LOT_1}`);
    const picture = { name: 'bed.jpg', mimeType: 'image/jpeg', buffer: await cameraFile(scout.page) };
    await scout.page.locator('input[type=file]').last().setInputFiles(picture);
    await scout.sees('Photo noted. It is sent after the notes.');
  };
  await take();
  await scout.sees('No earlier photo of this place.');
  await scout.page.context().addInitScript(later, 7 * DAY_MS);
  await scout.opens('/');
  await seesBeds(scout);
  await turnsTo(scout, `/work/photo?bed=${BED_1}&lot=${LOT_1}`);
  await scout.sees(/^Earlier: /);
  await take();
  await scout.page.locator('.side-by-side img.picture').nth(1).waitFor();
  expect(await scout.page.locator('.side-by-side figcaption').allTextContents()).toEqual([
    'Now',
    expect.stringMatching(/^Earlier: /),
  ]);
  await scout.picture('photo-side-by-side');
});

test('after 30 days out of range it starts, goes on with the walk, and all that waited is taken', async () => {
  await until(scout, (now) => now.waiting === 0);
  await scout.goesOutOfRange();
  await scout.page.context().addInitScript(later, 23 * DAY_MS);
  await scout.isSwitchedOffAndOn();
  await seesBeds(scout);
  await scout.sees(/noted, not ended/);
  await scout.taps('Go on with the walk');
  await scout.page.locator('.traits').waitFor();
  await notesPot(scout, { head: '33', buds: '45' });
  expect((await kept(scout)).waiting).toBe(1);
  await scout.comesIntoRange();
  const now = await until(scout, (each) => each.waiting === 0 && each.told > 0 && each.told === each.head);
  expect(now.position).toBe(now.head);
});

test('a product on two beds closes both: here at once and out of range, at the server, and on every other phone', async () => {
  const second = await nursery.phone('scout');
  await seesBeds(second);
  await scout.goesOutOfRange();
  await turnsTo(scout, `/work/application?bed=${BED_1}`);
  await scout.page.locator('.tick', { hasText: 'H2' }).tap();
  await chooses('growth regulator');
  await scout.page.getByLabel(/^Active ingredient/).fill('daminozide');
  await scout.page.getByLabel(/^Entry interval/).fill('1900');
  await scout.taps('just now');
  await scout.sees(/^Closed until .*: Heron, H1, Heron, H2\.$/);
  await scout.taps(/^Save$/);
  await scout.sees(/^Noted. Entry restricted until/);
  const isShut = async (phone: Device) => {
    for (const bed of [BED_1, BED_2]) {
      await turnsTo(phone, `/bed/${bed}`);
      await phone.sees(/^Closed by an entry interval/);
      await phone.sees('PELIGRO · PESTICIDAS · NO ENTRE');
      expect(await phone.page.getByRole('button', { name: /walk$/ }).count()).toBe(0);
    }
    await turnsTo(phone, '/');
    await expect.poll(() => phone.page.locator('.lines .shut').count()).toBe(2);
    expect(await phone.page.getByRole('button', { name: 'Go on with the walk' }).count()).toBe(0);
  };
  await isShut(scout);
  // A walk that is still open leads out of the bed, with all that was noted.
  await turnsTo(scout, `/walk/${walk}`);
  await scout.sees(/^Leave the bed/);
  expect(await scout.page.locator('.pad').count()).toBe(0);
  await scout.comesIntoRange();
  await until(scout, (now) => now.waiting === 0);
  await isShut(second);
  const desk = await nursery.desk('supervisor');
  const { houses } = await viewOf<BedsView>(desk, 'beds');
  const until_ = houses.flatMap((house) => house.beds).map((bed) => bed.closed_until > Date.now());
  expect(until_).toEqual([true, true]);
  for (const bed of [BED_1, BED_2]) {
    const { facts } = await viewOf<BedView>(desk, `beds/${bed}`);
    expect([bed, facts.some(({ fact }) => fact?.kind === 'application')]).toEqual([bed, true]);
  }
});
