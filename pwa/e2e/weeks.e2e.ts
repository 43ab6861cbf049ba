/** What is noted in the units and the language of the person, and what holds for weeks: photos, paused walks, closed beds. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { BedsView, BedView } from '../../schema/types.ts';
import { cameraFile } from './camera.ts';
import { Caller } from './caller.ts';
import type { Device, Nursery } from './harness.ts';
import { BED_1, BED_2, LOT_1, openSmallNursery } from './small.ts';
import { turnsTo } from './states.ts';
import {
  DAY_MS,
  hasEverything,
  later,
  notesPot,
  opensBed,
  potsNoted,
  seesBeds,
  startsWalk,
  until,
  walkOf,
} from './walking.ts';

let nursery: Nursery;
let scout: Device;

beforeAll(async () => {
  nursery = await openSmallNursery();
  scout = await nursery.phone('scout');
  await scout.isReadyForTheField();
  await seesBeds(scout);
  await opensBed(scout, 'Heron, H1');
  await startsWalk(scout);
  for (const buds of ['42', '43', '41']) await notesPot(scout, { head: '31', buds });
});
afterAll(() => nursery?.close());

async function prefers(changes: Record<string, unknown>): Promise<void> {
  await scout.page.evaluate((chosen) => {
    const slot = 'bedwalk-settings';
    localStorage.setItem(slot, JSON.stringify({ ...JSON.parse(localStorage.getItem(slot) ?? '{}'), ...chosen }));
  }, changes);
  await scout.opens('/');
  await seesBeds(scout);
}

describe('units and mixes', () => {
  test('degrees Fahrenheit are written down as Celsius', async () => {
    await prefers({ units: { length: 'in', temperature: 'F', volume: 'gal' } });
    await turnsTo(scout, `/work/reading?bed=${BED_1}&lot=${LOT_1}`);
    await scout.page.getByLabel(/^Air temperature/).fill('95');
    await scout.sees('°F');
    // 95 °F are 35 °C: hot enough to say what helps.
    await scout.sees('Heat: water, shade, rest');
    await scout.taps('Clear this form');
  });

  test('a mix is computed in gallons and ounces from the strength on the container, and is not a rate', async () => {
    await prefers({ units: { length: 'in', temperature: 'F', volume: 'gal' } });
    await turnsTo(scout, '/work/mix');
    await scout.page.getByText('Only math, no advice').tap();
    await scout.sees(/It is not a recommendation/);
    await scout.page.getByText('dry: % by weight').tap();
    await scout.page.getByLabel(/^Active ingredient/).fill('85');
    await scout.page.getByLabel(/^Strength/).fill('1000');
    await scout.page.getByLabel('How much mix').fill('1');
    // 1 g/L in 3.785411784 L, of a powder of 85 %: 4.453 g; an ounce is 28.349523125 g.
    await scout.sees('0.1571 oz of product for 1 US gal of mix');
    await scout.sees('The same as 4.453 g.');
    await scout.page.getByLabel(/^Active ingredient/).fill('0.05');
    await scout.sees(/^A mix can’t be stronger than the product/);
    await prefers({ units: { length: 'cm', temperature: 'C', volume: 'L' } });
    await turnsTo(scout, '/work/mix');
    expect(await scout.page.getByLabel(/^Strength/).inputValue()).toBe('1000');
    await scout.page.getByText('drench', { exact: true }).tap();
    await scout.page.getByText('liquid: % w/v (g in 100 mL)').tap();
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
  await prefers({ language: 'es', units: { length: 'cm', temperature: 'C', volume: 'L' } });
  const place = `?bed=${BED_1}&lot=${LOT_1}`;
  const hazards: [string, (() => Promise<void>) | undefined, string, string][] = [
    ['application', undefined, 'PELIGRO · PESTICIDAS · NO ENTRE', 'DANGER · PESTICIDES · KEEP OUT'],
    ['application', undefined, 'La etiqueta es la ley.', 'The label is the law.'],
    ['mix', undefined, 'No es una recomendación', 'not a recommendation'],
    ['event', () => chooses('al cuarto frío'), 'nunca solo', 'never work alone'],
    ['event', () => chooses('a forzado'), 'tome agua', 'drink water'],
    ['event', () => chooses('recortado'), 'use lentes', 'eye protection'],
    ['move', undefined, 'doble las rodillas', 'bend your knees'],
    ['step', undefined, 'doble las rodillas', 'bend your knees'],
    ['reading', () => scout.page.getByLabel('Temperatura del aire').fill('36'), 'tome agua', 'drink water'],
  ];
  for (const [form, first, spanish, english] of hazards) {
    await turnsTo(scout, `/work/${form}${place}`);
    await first?.();
    const caution = scout.page.locator('.cautions', { hasText: spanish }).first();
    await caution.waitFor();
    expect([form, (await caution.textContent())?.includes(english)]).toEqual([form, true]);
    expect([form, (await caution.locator('svg.hazard').count()) > 0]).toEqual([form, true]);
  }
  // The cautions stand first, and still the first question is on the first screen.
  const boxes = (...of: string[]) =>
    Promise.all(of.map(async (each) => (await scout.page.locator(each).first().boundingBox())!));
  const ends = ({ y, height }: { y: number; height: number }) => y + height;
  for (const form of ['move', 'step']) {
    await turnsTo(scout, `/work/${form}${place}`);
    const answered = '.cautions ~ * .card, .cautions ~ * input, form .cautions ~ fieldset .card';
    const [caution, question, foot] = await boxes('.cautions', answered, '.foot');
    expect([form, question!.y > caution!.y]).toEqual([form, true]);
    expect([form, ends(question!) <= foot!.y]).toEqual([form, true]);
  }
  // What a product or a mix is for comes first and is seen at once, with large letters too; all that is put on or weighed, below.
  for (const form of ['application', 'mix']) {
    await turnsTo(scout, `/work/${form}${place}`);
    await scout.page.evaluate(() => (document.documentElement.style.fontSize = '118%'));
    const [uses, caution, field, foot] = await boxes('main fieldset', '.cautions', 'main input[type=text]', '.foot');
    const order = [ends(uses!) <= caution!.y, ends(caution!) <= field!.y, ends(uses!) <= foot!.y];
    expect([form, ...order]).toEqual([form, true, true, true]);
    await scout.page.evaluate(() => (document.documentElement.style.fontSize = ''));
  }
  // That decides what is warned of: fertilizer is no pesticide.
  const said = async () => (await scout.page.locator('.cautions').textContent())!;
  expect(await said()).toMatch(/PESTICIDAS/);
  await scout.page.getByRole('radio', { name: /fertilizante/ }).check({ force: true });
  await expect.poll(said).not.toMatch(/PESTICIDAS|REI/);
  expect(await said()).toMatch(/gafas|lentes/);
  // The whole sign has one colour, and its words one line after the other, also once the script of a walk has been loaded.
  await turnsTo(scout, `/bed/${BED_1}`);
  await scout.page.locator('main h1').waitFor();
  await turnsTo(scout, `/work/application${place}`);
  await scout.page.locator('.danger .nowrap').nth(1).waitFor();
  const sign = await scout.page
    .locator('.danger b, .danger .nowrap')
    .evaluateAll((all) => all.map((each) => [getComputedStyle(each).color, getComputedStyle(each).display]));
  expect(sign).toEqual(sign.map(() => [sign[0]?.[0], 'inline']));
  expect(sign).toHaveLength(4);
  const label = scout.page.locator('.caution', { hasText: 'La etiqueta es la ley' });
  const whole = label.getByText('Use solo lo que permite para este cultivo y este lugar.');
  expect(await whole.isVisible()).toBe(false);
  await label.locator('summary').tap();
  await whole.waitFor();
  await label.getByText('Use only what it allows for this crop, in this place.').waitFor();
  await scout.picture('cautions-es');
  await prefers({ language: 'en' });
});

async function chooses(label: string): Promise<void> {
  await scout.page.getByText(label, { exact: true }).tap();
}

test('a photo is shown beside the one of the walk before', async () => {
  const take = async () => {
    await turnsTo(scout, `/work/photo?bed=${BED_1}&lot=${LOT_1}`);
    const picture = { name: 'bed.jpg', mimeType: 'image/jpeg', buffer: await cameraFile(scout.page) };
    await scout.page.locator('input[type=file]').last().setInputFiles(picture);
    await scout.sees('Photo saved. It will be sent after the notes.');
  };
  await take();
  await scout.sees('No earlier photo of this place.');
  // Out of range, since the server would set the phone's clock right.
  await scout.goesOutOfRange();
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

test('a walk that was paused is continued a week later, where it was left', async () => {
  await turnsTo(scout, '/');
  await scout.sees(/noted, not ended/);
  await scout.taps('Continue the walk');
  await scout.page.locator('.traits').waitFor();
  const before = await potsNoted(scout);
  expect(before).toBe(3);
  await notesPot(scout, { head: '33', buds: '45' });
  expect(await potsNoted(scout)).toBe(before + 1);
  await scout.comesIntoRange();
  await until(scout, (now) => now.waiting === 0);
});

test('after 30 days out of range it starts, says what is due, walks, and all that waited is taken', async () => {
  await scout.goesOutOfRange();
  await scout.page.context().addInitScript(later, 23 * DAY_MS);
  await scout.isSwitchedOffAndOn();
  await scout.sees('30 days since the last walk');
  await opensBed(scout, 'Heron, H1');
  await startsWalk(scout);
  await notesPot(scout, { head: '33', buds: '45' });
  await until(scout, (now) => now.waiting === 2);
  await scout.comesIntoRange();
  const now = await hasEverything(scout);
  expect(now.position).toBe(now.head);
});

test('a product on two beds closes both: here at once and out of range, at the server, and on every other phone', async () => {
  const second = await nursery.phoneInRange('scout');
  await seesBeds(second);
  await opensBed(second, 'Heron, H2');
  await startsWalk(second);
  const walk = walkOf(second);
  await notesPot(second, { head: '33', buds: '45' });
  await scout.goesOutOfRange();
  await turnsTo(scout, `/work/application?bed=${BED_1}`);
  await scout.page.locator('.tick', { hasText: 'H2' }).tap();
  await chooses('growth regulator');
  await scout.page.getByLabel(/^Active ingredient/).fill('daminozide');
  await scout.page.getByLabel(/^Restricted-entry interval/).fill('1900');
  await scout.taps('just now');
  await scout.sees(/^Closed until .*: Heron, H1, Heron, H2\.$/);
  await scout.taps(/^Save$/);
  await scout.sees(/^Saved. Entry restricted until/);
  const isShut = async (phone: Device) => {
    for (const bed of [BED_1, BED_2]) {
      await turnsTo(phone, `/bed/${bed}`);
      await phone.sees(/^Closed: restricted-entry interval/);
      await phone.sees('PELIGRO · PESTICIDAS · NO ENTRE');
      expect(await phone.page.getByRole('button', { name: /walk$/ }).count()).toBe(0);
    }
    await turnsTo(phone, '/');
    await expect.poll(() => phone.page.locator('.lines .shut').count()).toBe(2);
    expect(await phone.page.getByRole('button', { name: 'Continue the walk' }).count()).toBe(0);
  };
  await isShut(scout);
  await scout.comesIntoRange();
  await until(scout, (now) => now.waiting === 0);
  // Whoever is in one of the beds is led out of it, with all that was noted.
  await second.sees(/^Leave the area/);
  expect(await second.page.locator('.pad').count()).toBe(0);
  await isShut(second);
  await turnsTo(second, `/walk/${walk}`);
  await second.sees(/^Leave the area/);
  const office = await Caller.pairs(nursery, 'supervisor');
  const { houses } = await office.view<BedsView>('beds');
  const until_ = houses.flatMap((house) => house.beds).map((bed) => bed.closed_until > Date.now());
  expect(until_).toEqual([true, true]);
  for (const bed of [BED_1, BED_2]) {
    const { facts } = await office.view<BedView>(`beds/${bed}`);
    expect([bed, facts.some(({ fact }) => fact?.kind === 'application')]).toEqual([bed, true]);
  }
});
