/** A head measured in a photo whose truth is known, because it is rendered: from the card in a walk to the supervisor's page. */
import { encode } from 'uqr';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Photo } from '../../schema/types.ts';
import { chance, edgesOf, exifOf, photograph, type Scene } from '../../sync/head/scene.testing.ts';
import type { Device, Nursery } from './harness.ts';
import { BED_1, openSmallNursery } from './small.ts';
import { hasEverything, phoneInABed, walkOf } from './walking.ts';

let nursery: Nursery;
let phone: Device;

beforeAll(async () => {
  nursery = await openSmallNursery();
  phone = await phoneInABed(nursery);
});
afterAll(() => nursery?.close());

const [WIDE, HIGH] = [1500, 2000];
/** 26 mm on film is 0.6009 of the diagonal. */
const scene: Scene = {
  camera: { f: 0.600_9 * Math.hypot(WIDE, HIGH), cx: WIDE / 2, cy: HIGH / 2 },
  wide: WIDE,
  high: HIGH,
  head: 300,
  dome: 60,
  away: 600,
  tilt: 0.08,
  toward: 1,
  side: 45,
  lean: 0.04,
  leanToward: 2,
  turn: 0.5,
  aside: 8,
};

/** The scene as a camera sees it, in grey. */
function pictureOf(of: Scene): Uint8Array {
  const { data } = encode('CARD:45:7F3A', { ecc: 'Q', border: 0 });
  const whole = { left: 0, top: 0, wide: of.wide, high: of.high };
  return photograph(of, data, whole, { blur: 0.9, noise: 3, falls: 0.2 }, chance(4), 1).grey as Uint8Array;
}

/** The picture without what a camera says of it, as a chat would pass it on. */
async function jpegOf(grey: Uint8Array, wide: number, high: number): Promise<Buffer> {
  const plain = await phone.page.evaluate(
    async ({ grey, wide, high }) => {
      const from = Uint8Array.from(atob(grey), (letter) => letter.codePointAt(0) ?? 0);
      const rgba = new Uint8ClampedArray(4 * wide * high);
      for (let i = 0; i < from.length; i++) rgba.set([from[i] ?? 0, from[i] ?? 0, from[i] ?? 0, 255], 4 * i);
      const canvas = new OffscreenCanvas(wide, high);
      canvas.getContext('2d')?.putImageData(new ImageData(rgba, wide, high), 0, 0);
      const jpeg = await canvas.convertToBlob({ type: 'image/jpeg', quality: 0.92 });
      const reader = new FileReader();
      const read = new Promise((done) => reader.addEventListener('load', done));
      reader.readAsDataURL(jpeg);
      await read;
      return (reader.result as string).replace(/^.*,/, '');
    },
    { grey: Buffer.from(grey).toString('base64'), wide, high },
  );
  return Buffer.from(plain, 'base64');
}

/** The same as a camera writes it. */
function fromCamera(jpeg: Buffer, wide: number, high: number): Buffer {
  const exif = exifOf({ focal35: 26, wide, high, zoom: 1 }, true);
  return Buffer.concat([jpeg.subarray(0, 2), exif, jpeg.subarray(2)]);
}

async function chooses(buffer: Buffer): Promise<void> {
  await phone.page
    .locator('input[type=file]')
    .last()
    .setInputFiles({ name: 'camera.jpg', mimeType: 'image/jpeg', buffer });
}

/** The photo notes on this phone. */
async function photoNotes(): Promise<Photo[]> {
  return phone.page.evaluate(async () => {
    const of = <T>(asked: IDBRequest<T>) =>
      new Promise<T>((done) => asked.addEventListener('success', () => done(asked.result)));
    const notes = await of(indexedDB.open('bedwalk'));
    const rows = await of<{ entry: { kind: string; body: unknown } }[]>(
      notes.transaction('entries').objectStore('entries').index('own').getAll(),
    );
    notes.close();
    return rows.flatMap(({ entry }) => (entry.kind === 'photo' ? [entry.body as Photo] : []));
  });
}

test('from the card in a walk to the grade view: an estimate with its uncertainty, kept with the photo and used for no grade', async () => {
  await phone.page.getByRole('button', { name: 'More' }).tap();
  await phone.taps('Photo');
  await phone.taps('Head size from a photo');
  await phone.sees('Lay the printed card flat on top of the head.');

  // A picture from a chat and one without a card: each refused with what to do.
  const picture = await jpegOf(pictureOf(scene), WIDE, HIGH);
  await chooses(picture);
  await phone.sees(/doesn’t say which lens took it/);
  await chooses(fromCamera(await jpegOf(new Uint8Array(300 * 400).fill(170), 300, 400), 300, 400));
  await phone.sees(/No head card found/);

  await chooses(fromCamera(picture, WIDE, HIGH));
  await phone.sees('Tap one edge of the head, where its leaves are widest.');
  const photo = phone.page.locator('.head-photo');
  const shown = (await photo.boundingBox())!;
  for (const { x, y } of edgesOf(scene, 0))
    await photo.tap({ position: { x: (x * shown.width) / WIDE, y: (y * shown.width) / WIDE } });
  await phone.sees('Enter how far down the widest leaves are.');
  await phone.page.getByLabel('From the card down to the widest leaves').fill('6');
  await phone.sees('Enter how long the bar printed with card 7F3A is.');
  await phone.page.getByLabel('Length of the bar printed with card 7F3A').fill('100');
  await phone.sees(/^About [\d.]+\scm ± [\d.]+\scm$/);
  expect(await phone.accessibilityFaults('all')).toEqual([]);
  await phone.taps(/^Save$/);
  await phone.sees(/Photo saved, head about/);
  const [note] = await photoNotes();
  expect(note?.head).toMatchObject({ drop_mm: 60, code_mm: 45 });
  const { diameter_mm: mm, within_mm: within } = note!.head!;
  expect(within).toBeGreaterThan(8);
  expect(within).toBeLessThan(24);
  expect(Math.abs(mm - 300)).toBeLessThanOrEqual(within);

  await phone.taps('Back');
  await phone.page.locator('.pad').waitFor();
});

test('the supervisor sees it beside what was measured, and how many pots no grade counts for it', async () => {
  // The pot is closed without its head: the photo does not answer for it.
  await phone.page.getByRole('button', { name: 'not checked' }).tap();
  for (const key of ['4', '2', 'Roots ›', /^4: /, /^4: /, 'All green · next pot ›'])
    await phone.page
      .getByRole('button', { name: key, exact: typeof key === 'string' })
      .first()
      .tap();
  await phone.sees(/^pot 2 /);
  await hasEverything(phone);
  const desk = await nursery.desk('supervisor');
  await desk.opens(`/beds/${BED_1}?walk=${walkOf(phone)}`);
  await desk.sees(/The head of 1 pot was only estimated from a photo/);
  const row = desk.page.getByRole('row').filter({ hasText: /photo: [\d.]+\scm ± [\d.]+\scm/ });
  expect(await row.count()).toBe(1);
  expect(await row.textContent()).toContain('42');
});
