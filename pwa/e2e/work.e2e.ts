/** What a scout notes on the spot, out of range from the first tap. */
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import type { Record as Folded, Stock } from '../../schema/types';
import { cameraFile } from './camera.ts';
import type { Device, Nursery } from './harness.ts';
import { rowsOf } from './rows.ts';
import { BED_1, LOT_1, oneMoreBed, openSmallNursery, push, SPAN_1 } from './small.ts';
import { turnsTo } from './states.ts';
import { hasEverything } from './walking.ts';

let nursery: Nursery;
let scout: Device;
const [bed, lot, span, tag] = [BED_1, LOT_1, SPAN_1, 'AZ-101'];

beforeAll(async () => {
  // More beds than a form shows as cards.
  nursery = await openSmallNursery(['3', '4', '5', '6', '7', '8'].flatMap((digit) => oneMoreBed(digit)));
  // What the ledger holds comes from more than one writer.
  const loss = { lot, span, change: -4, reason: 'lost_dry' as const };
  expect(await push(nursery.server, 'owner', [['count', loss, { lot }]])).toMatchObject([{ state: 'merged' }]);
  scout = await nursery.phone('scout');
  await scout.isReadyForTheField();
  await hasEverything(scout);
});
afterAll(() => nursery?.close());

beforeEach(async () => {
  await scout.goesOutOfRange();
});

interface Entered {
  keys: string[];
  state?: string;
  pending?: unknown;
  own?: [string, number, number];
  entry: { kind: string; device: string; inc: number; seq: number; lot?: string; bed?: string; body: Body };
}

type Body = { [field: string]: unknown };

/** Records of a kind as the phone has them. */
async function records(kind: string): Promise<Folded[]> {
  const rows = await stored('bedwalk', 'records', { kind });
  return (rows as { text: string }[]).map((row) => JSON.parse(row.text) as Folded);
}

/** Entries of a kind that this phone wrote, oldest first. */
async function written(kind: string): Promise<Entered['entry'][]> {
  const own = (await stored('bedwalk', 'entries', { own: true })) as Entered[];
  return own
    .filter(({ entry }) => entry.kind === kind)
    .map(({ entry }) => entry)
    .sort((a, b) => a.seq - b.seq);
}

const stored = (base: string, store: string, having?: Body) => rowsOf(scout.page, base, store, having);

async function stockOf(id: string): Promise<Stock | undefined> {
  return (await records('stock')).find((record) => record.key === `stock:${id}`)?.stock;
}

/** A field by its label; one that offers what was typed before is a combobox to a screen reader. */
const field = (name: string | RegExp) =>
  scout.page.getByRole('textbox', { name }).or(scout.page.getByRole('combobox', { name })).first();
const chooses = (label: string | RegExp) =>
  scout.page.getByRole('radio', { name: label }).first().check({ force: true });
const saves = () => scout.taps(/^Save$/);

const standsOn = (value: string) => scout.page.getByRole('combobox', { name: /^Where it is/ }).selectOption(value);

async function opensForm(name: string | RegExp, place = `bed=${bed}&lot=${lot}`): Promise<void> {
  await turnsTo(scout, `/work?${place}`);
  await scout.taps(name);
  await scout.page.locator('.work .foot').waitFor();
}

describe('out of range', () => {
  test('a pinch is noted with its day, and Undo strikes it out', async () => {
    await opensForm(/^Work done/);
    await scout.keepsOffers();
    await chooses('pinched');
    await saves();
    await scout.sees(/^pinched, .*: noted/);
    expect((await written('event')).at(-1)).toMatchObject({ lot, bed, body: { lot, what: 'pinched' } });
    await scout.taps(/^Undo$/);
    await scout.sees('Undone.');
    const struck = (await written('void')).at(-1)?.body['names'];
    const event = (await records('event')).find((record) => record.key === `fact:${String(struck)}`);
    expect(event?.fact).toMatchObject({ kind: 'event', body: { lot, what: 'pinched' }, voided: { why: 'mistake' } });
    // Back in the form as it was filled, to be put right.
    expect(await scout.page.getByRole('radio', { name: 'pinched' }).isChecked()).toBe(true);
    await scout.taps('Clear this form');
  });

  test('lost pots leave the ledger with their reason', async () => {
    const before = (await stockOf(lot))?.pots ?? 0;
    await opensForm(/^Pots lost/);
    await chooses('root rot');
    await scout.taps('+5');
    await scout.taps('+1');
    await saves();
    await scout.sees(/−6 pots \(root rot\): noted/);
    expect((await written('count')).at(-1)?.body).toEqual({ lot, span, change: -6, reason: 'lost_root' });
    expect((await stockOf(lot))?.pots).toBe(before - 6);
  });

  test('a recount names what its counter knew, the own unsent loss too', async () => {
    await opensForm(/^Recount/);
    await field('Pots counted').fill('300');
    await saves();
    await scout.sees(/300 pots counted/);
    const body = (await written('recount')).at(-1)?.body as unknown as { basis: Record<string, number> };
    expect(body).toMatchObject({ lot, span, counted: 300 });
    const ledger = (await stored('bedwalk', 'entries')) as Entered[];
    const expected: Record<string, number> = {};
    for (const { keys, entry } of ledger) {
      if (!keys.includes(`stock:${lot}`) || entry.kind === 'recount') continue;
      const writer = `${entry.device}.${entry.inc}`;
      expected[writer] = Math.max(expected[writer] ?? 0, entry.seq);
    }
    expect(body.basis).toEqual(expected);
    expect((await stockOf(lot))?.by_span[span]).toBe(300);
  });

  test('pots move to another bed in one entry, and the stretch that they leave ends', async () => {
    await opensForm(/^Move pots/);
    await scout.taps(/^All 300 pots/);
    const other = (await records('bed')).find((record) => record.bed !== bed)?.bed ?? '';
    await scout.page.getByRole('combobox', { name: /^To which bed/ }).selectOption(other);
    await field('From row').fill('1');
    await field('To row').fill('2');
    await saves();
    await scout.sees(/300 pots moved/);
    const legs = (await written('move')).at(-1)?.body['legs'] as { span: string; change: number }[];
    expect(legs).toEqual([
      { lot, span, change: -300 },
      { lot, span: legs[1]?.span, change: 300 },
    ]);
    const spans = await written('span');
    expect(spans.map(({ body }) => body)).toEqual([
      expect.objectContaining({ lot, bed: other, from_row: 1, to_row: 2 }),
      expect.objectContaining({ of: span, ended: true }),
    ]);
    expect((await stockOf(lot))?.by_span).toMatchObject({ [span]: 0, [legs[1]?.span ?? '']: 300 });
  });

  test('a step-up makes a child lot, its pots and the loss in one save, and one Undo takes all of it back', async () => {
    const before = await stockOf(lot);
    await opensForm(/^Step up$/, `lot=${lot}`);
    await scout.keepsOffers();
    await field('How many pots').fill('120');
    await field('New tag code').fill('NEW-7');
    await field('New pot size').fill('16.5');
    await field('Dumped at step-up').fill('3');
    await saves();
    // A place that nobody chose is not "on no bed".
    await scout.sees('Not saved yet:');
    await standsOn('none');
    await saves();
    await scout.sees(/120 pots stepped up to lot NEW-7/);
    const child = (await written('lot')).at(-1)?.body as { of: string };
    expect(child).toMatchObject({ tag: 'NEW-7', parent: lot, pot_mm: 165 });
    expect((await stockOf(child.of))?.pots).toBe(120);
    expect((await stockOf(lot))?.pots).toBe((before?.pots ?? 0) - 123);
    await scout.page.getByRole('heading', { name: /NEW-7/ }).waitFor();
    await scout.taps(/^Undo$/);
    await scout.sees('Undone.');
    expect((await stockOf(lot))?.pots).toBe(before?.pots);
    expect((await stockOf(child.of))?.pots).toBe(0);
  });

  test('a product closes its beds on this phone at once', async () => {
    await turnsTo(scout, `/bed/${bed}`);
    await scout.sees(/^To start a walk, first note which lot is here/);
    await opensForm(/^Product applied/);
    await scout.sees('DANGER · PESTICIDES · KEEP OUT');
    await scout.sees('PELIGRO · PESTICIDAS · NO ENTRE');
    await chooses('growth regulator');
    await field(/^Active ingredient/).fill('daminozide');
    await field(/^Restricted-entry interval/).fill('24');
    await scout.taps('just now');
    await scout.sees(/^Closed until/);
    await saves();
    await scout.sees(/^Saved. Entry restricted until/);
    expect((await written('application')).at(-1)?.body).toMatchObject({
      beds: [bed],
      purpose: 'growth_regulator',
      active: 'daminozide',
      entry_hours: 24,
    });
    await turnsTo(scout, `/bed/${bed}`);
    await scout.sees(/^Closed: restricted-entry interval/);
    expect(await scout.page.getByText(/start (a )?walk/i).count()).toBe(0);
  });

  test('cuttings are counted, and more rooted than stuck is named with what to do', async () => {
    await opensForm(/^Rooting count/);
    await field(/^Cuttings checked/).fill('200');
    await field(/^Rooted/).fill('240');
    await scout.sees(/Rooted: more than the 200 checked/);
    await saves();
    await scout.sees('Not saved yet:');
    await field(/^Rooted/).fill('150');
    await scout.sees(/75.%? ?.*rooted. Under 85/);
    await saves();
    await scout.sees(/^Rooting 75/);
    expect((await written('rooting')).at(-1)?.body).toMatchObject({ lot, struck: 200, rooted: 150 });
  });

  test('a reading is written in the schema’s units, an odd pH is asked about and kept', async () => {
    await opensForm(/^Reading/);
    await field(/^pH/).fill('9,1');
    await scout.sees(/^\? ?Unusual for a pot/);
    await field(/^Conductivity/).fill('1.15');
    await chooses('pour-through');
    await field(/^Temperature in the pot/).fill('19.5');
    await saves();
    await scout.sees('Reading noted.');
    expect((await written('reading')).at(-1)?.body).toEqual({
      lot,
      bed,
      ph_c: 910,
      ec_us_cm: 1150,
      method: 'pour_through',
      medium_dc: 195,
    });
  });

  test('words typed are still there after leaving, and after the phone ended the app', async () => {
    await opensForm(/^Comment/);
    await field(/^Comment/).fill('Mist line over the fan end drips.');
    await scout.taps(/^Back$/);
    await scout.sees('half filled');
    await scout.isSwitchedOffAndOn(`/work/note?bed=${bed}&lot=${lot}`);
    await expect.poll(() => field(/^Comment/).inputValue()).toBe('Mist line over the fan end drips.');
    await saves();
    await scout.page.getByRole('heading', { name: 'Add a note' }).waitFor();
    expect((await written('note')).at(-1)?.body).toEqual({ lot, bed, words: 'Mist line over the fan end drips.' });
    await scout.page.getByText('half filled').waitFor({ state: 'detached' });
  });

  test('a new lot from a typed tag: what nobody knows is left out', async () => {
    await turnsTo(scout, '/scan');
    await scout.page.getByLabel(/type the tag/).fill('zz 900');
    await scout.taps(/^Find$/);
    await scout.sees('zz 900: no lot with this tag on this phone. Is it new?');
    await scout.taps(/^New lot zz 900/);
    await expect.poll(() => field('Tag code').inputValue()).toBe('zz 900');
    await saves();
    await scout.sees('Not saved yet:');
    // A lot made by a step-up names no crop of its own.
    const crop = (await records('lot'))
      .map(({ register }) => String(register?.fields['crop']?.value ?? ''))
      .find(Boolean)!;
    await chooses('Another crop');
    await field('Name of the crop').fill(`${crop.slice(0, 3)}x${crop.slice(3)}`);
    await scout.sees(/Almost the same as “/);
    await scout.taps(`Use “${crop}”`);
    await scout.page.getByRole('radio', { name: crop, exact: true, checked: true }).waitFor({ state: 'attached' });
    await chooses('Another crop');
    await field('Name of the crop').fill('azalea');
    await field('Cultivar').fill('Fen Lantern');
    await field('Pot size').fill('14');
    for (const each of await scout.page.getByRole('radio', { name: 'not known' }).all())
      await each.check({ force: true });
    await field('How many pots').fill('48');
    await saves();
    await scout.sees('Not answered yet: How did the pots get here? Tap one.');
    await scout.sees('Choose its bed, or “on no bed”.');
    await standsOn('none');
    await chooses('received');
    await saves();
    await scout.sees('Lot zz 900 noted.');
    const made = (await written('lot')).at(-1)?.body as { of: string };
    expect(made).toEqual({ of: made.of, tag: 'zz 900', crop: 'azalea', cultivar: 'Fen Lantern', pot_mm: 140 });
    expect((await stockOf(made.of))?.by_span).toEqual({ '': 48 });
    expect((await written('count')).at(-1)?.body).toEqual({ lot: made.of, change: 48, reason: 'received' });
    await turnsTo(scout, '/scan');
    await scout.page.getByLabel(/type the tag/).fill('ZZ-900');
    await scout.taps(/^Find$/);
    await scout.page.getByRole('heading', { name: 'zz 900 Fen Lantern' }).waitFor();
  });

  test('a product put on a lot closes all beds that it stands on, unless one is unticked', async () => {
    await opensForm(/^Move pots/, `lot=${lot}`);
    await field('How many pots').fill('10');
    const stands = (await records('span')).filter((record) => record.lot === lot).map((record) => record.bed);
    const third = (await records('bed')).find((record) => !stands.includes(record.bed))?.bed ?? '';
    await scout.page.getByRole('combobox', { name: /^To which bed/ }).selectOption(third);
    await field('From row').fill('1');
    await field('To row').fill('2');
    await saves();
    await scout.sees(/10 pots moved/);
    await opensForm(/^Product applied/, `lot=${lot}`);
    const ticked = (name: RegExp) => scout.page.getByRole('group', { name }).getByRole('checkbox', { checked: true });
    await ticked(/^Which beds/)
      .first()
      .waitFor();
    expect([await ticked(/^Which beds/).count(), await ticked(/^Which lots/).count()]).toEqual([2, 1]);
  });

  test('a lot in short says what it is, where it stands and what was last noted', async () => {
    await turnsTo(scout, `/lot/${lot}`);
    await scout.page.getByRole('heading', { name: new RegExp(tag) }).waitFor();
    await scout.sees(/pH 9\.1/);
    await scout.taps(/^Add a note/);
    await scout.page.getByRole('heading', { name: 'Add a note' }).waitFor();
  });
});

describe('photos', () => {
  test('one with a place and a turn in its data is kept upright, small and without them, and arrives', async () => {
    await opensForm(/^Photo$/);
    const camera = await cameraFile(scout.page);
    expect(camera.includes('GPS-MARK')).toBe(true);
    await scout.page
      .locator('input[type=file]')
      .last()
      .setInputFiles({ name: 'camera.jpg', mimeType: 'image/jpeg', buffer: camera });
    await scout.sees('Photo saved. It will be sent after the notes.');
    const photo = (await written('photo')).at(-1)?.body as { hash: string; bytes: number };
    // The camera held the phone sideways: 2400 × 1200 in the file, upright 1200 × 2400, made 800 × 1600.
    expect(photo).toMatchObject({ lot, bed, wide_px: 800, high_px: 1600, type: 'image/jpeg' });
    const kept = await bytesOf(photo.hash);
    expect(kept.length).toBe(photo.bytes);
    expect(kept.subarray(0, 2).toString('hex')).toBe('ffd8');
    for (const left of ['GPS-MARK', 'Exif']) expect(kept.includes(left)).toBe(false);
    const shown = scout.page.locator('img.picture').first();
    await expect.poll(() => shown.evaluate((image: HTMLImageElement) => image.naturalHeight)).toBe(1600);
    await scout.sees('1 photo still to send');
    const width = () => shown.evaluate((image) => image.clientWidth);
    const small = await width();
    await scout.taps('Larger, one above the other');
    await expect.poll(width).toBeGreaterThan(1.8 * small);
    await scout.taps('Smaller, side by side');

    await scout.comesIntoRange();
    await expect.poll(() => waitingPhotos(), { timeout: 120_000 }).toBe(0);
    const answer = await scout.page.request.get(`/api/photos/${photo.hash}`);
    expect(answer.status()).toBe(200);
    expect((await answer.body()).equals(kept)).toBe(true);
  });

  test('a file that is no picture says so, and no note is written', async () => {
    const before = (await written('photo')).length;
    await opensForm(/^Photo$/);
    await scout.page
      .locator('input[type=file]')
      .last()
      .setInputFiles({ name: 'x.jpg', mimeType: 'image/jpeg', buffer: Buffer.from('words') });
    await scout.sees(/could not be read as a picture/);
    expect((await written('photo')).length).toBe(before);
  });
});

test.each(['loss', 'recount', 'move', 'step', 'lot', 'application', 'event', 'rooting', 'reading'])(
  'each thing that keeps an empty %s from being saved leads to its field',
  async (form) => {
    await turnsTo(scout, `/work/${form}`);
    await scout.taps(/^Save$/);
    const problems = scout.page.locator('.problems li button');
    await problems.first().waitFor();
    for (const problem of await problems.all()) {
      await problem.tap();
      const isLed = () =>
        scout.page.evaluate(() => document.activeElement?.closest('form .field, form fieldset') !== null);
      await expect.poll(isLed, { message: (await problem.textContent()) ?? '' }).toBe(true);
    }
  },
);

test('everything noted out of range is at the server in the end, and none of it is held', async () => {
  await scout.comesIntoRange();
  await expect
    .poll(async () => (await stored('bedwalk', 'entries', { pending: true })).length, { timeout: 120_000 })
    .toBe(0);
  expect(await stored('bedwalk', 'entries', { own: true, state: true })).toEqual([]);
});

async function waitingPhotos(): Promise<number> {
  return (await stored('bedwalk-photos', 'photos', { pending: 1 })).length;
}

async function bytesOf(hash: string): Promise<Buffer> {
  const numbers = await scout.page.evaluate(
    (hash) =>
      new Promise<number[]>((done) => {
        const opening = indexedDB.open('bedwalk-photos');
        opening.addEventListener('success', () => {
          const reading = opening.result.transaction('photos').objectStore('photos').get(hash);
          reading.addEventListener('success', () => {
            opening.result.close();
            done([...new Uint8Array((reading.result as { bytes: ArrayBuffer }).bytes)]);
          });
        });
      }),
    hash,
  );
  return Buffer.from(numbers);
}
