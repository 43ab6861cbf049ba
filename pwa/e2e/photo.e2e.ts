/** A photo is kept the same way by a browser that has no canvas for workers (WebKit before 16.4) as by one that has. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Photo } from '../../schema/types.ts';
import { cameraFile } from './camera.ts';
import type { Device, Nursery } from './harness.ts';
import { BED_1, LOT_1, openSmallNursery } from './small.ts';
import { turnsTo } from './states.ts';
import { seesBeds } from './walking.ts';

let nursery: Nursery;
let phone: Device;
let camera: Buffer;

beforeAll(async () => {
  nursery = await openSmallNursery();
  phone = await nursery.phoneInRange('scout');
  await seesBeds(phone);
  camera = await cameraFile(phone.page);
});
afterAll(() => nursery?.close());

async function chooses(name: string, buffer: Buffer): Promise<void> {
  await turnsTo(phone, `/work/photo?bed=${BED_1}&lot=${LOT_1}`);
  await phone.page.locator('input[type=file]').last().setInputFiles({ name, mimeType: 'image/jpeg', buffer });
}

/** Takes the camera's picture. @returns its note and the bytes on the phone */
async function takes(): Promise<{ photo: Photo; kept: Buffer }> {
  await chooses('camera.jpg', camera);
  await phone.sees('Photo saved. It will be sent after the notes.');
  const { photo, bytes } = await phone.page.evaluate(async () => {
    const of = <T>(asked: IDBRequest<T>) =>
      new Promise<T>((done) => asked.addEventListener('success', () => done(asked.result)));
    const [notes, photos] = await Promise.all([of(indexedDB.open('bedwalk')), of(indexedDB.open('bedwalk-photos'))]);
    const rows = await of<{ entry: { seq: number; kind: string; body: unknown } }[]>(
      notes.transaction('entries').objectStore('entries').index('own').getAll(),
    );
    const photo = rows.map(({ entry }) => entry).findLast(({ kind }) => kind === 'photo')?.body as Photo;
    const row = await of<{ bytes: ArrayBuffer }>(photos.transaction('photos').objectStore('photos').get(photo.hash));
    notes.close();
    photos.close();
    return { photo, bytes: [...new Uint8Array(row.bytes)] };
  });
  return { photo, kept: Buffer.from(bytes) };
}

/** How far two pictures are apart, on average over all points and colours, of 255. Asked in a page that has every canvas. */
async function apart(one: Buffer, other: Buffer): Promise<number> {
  return phone.page.evaluate(
    async (both) => {
      const [a, b] = await Promise.all(
        both.map(async (bytes) => {
          const picture = await createImageBitmap(new Blob([new Uint8Array(bytes)], { type: 'image/jpeg' }));
          const context = new OffscreenCanvas(picture.width, picture.height).getContext('2d');
          context?.drawImage(picture, 0, 0);
          return context?.getImageData(0, 0, picture.width, picture.height).data;
        }),
      );
      if (!a || !b || a.length !== b.length) return 255;
      return a.reduce((sum, value, i) => sum + Math.abs(value - (b[i] ?? 255)), 0) / a.length;
    },
    [[...one], [...other]],
  );
}

test('without a canvas for workers a photo is made as small, as upright and as good, and nothing of its file stays', async () => {
  const usual = await takes();
  await phone.opensAnotherTab('/', () => {
    delete (globalThis as { OffscreenCanvas?: unknown }).OffscreenCanvas;
  });
  await seesBeds(phone);
  expect(await phone.page.evaluate(() => typeof OffscreenCanvas)).toBe('undefined');
  const older = await takes();
  expect(phone.page.workers().map((worker) => worker.url())).not.toContainEqual(expect.stringContaining('shrink'));

  // The camera held the phone sideways: 2400 × 1200 in the file, upright 1200 × 2400, made 800 × 1600.
  expect(older.photo).toMatchObject({ bed: BED_1, lot: LOT_1, wide_px: 800, high_px: 1600, type: 'image/jpeg' });
  expect(older.kept.length).toBe(older.photo.bytes);
  expect(older.kept.subarray(0, 2).toString('hex')).toBe('ffd8');
  for (const left of ['GPS-MARK', 'Exif']) {
    expect(camera.includes(left)).toBe(true);
    expect(older.kept.includes(left)).toBe(false);
  }
  expect(older.kept.length / usual.kept.length).toBeGreaterThan(0.8);
  expect(older.kept.length / usual.kept.length).toBeLessThan(1.25);
  const shown = phone.page.locator('img.picture').first();
  await expect.poll(() => shown.evaluate((image: HTMLImageElement) => image.naturalHeight)).toBe(1600);

  await chooses('x.jpg', Buffer.from('words'));
  await phone.sees(/could not be read as a picture/);

  await phone.opensAnotherTab('/');
  expect(await apart(older.kept, usual.kept)).toBeLessThan(3);
});
