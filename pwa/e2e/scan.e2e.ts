/** The tag scanner with a camera that sees a printed code: a browser whose camera is a film made for this test. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { encode } from 'uqr';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { browserProgram, Nursery, type Device } from './harness.ts';
import { LOT_1, startSmallServer } from './small.ts';
import { seesBeds } from './walking.ts';

const WIDE = 640;
const HIGH = 480;

/** A film of one picture in the YUV4MPEG2 format, as Chromium's fake camera takes it: the code in grey, no colour. */
function film(text: string): Buffer {
  const { data, size } = encode(text, { ecc: 'Q', border: 4 });
  const scale = Math.floor((HIGH * 0.7) / size);
  const left = Math.floor((WIDE - size * scale) / 2);
  const top = Math.floor((HIGH - size * scale) / 2);
  const light = Buffer.alloc(WIDE * HIGH, 200);
  for (let y = 0; y < size * scale; y++) {
    for (let x = 0; x < size * scale; x++) {
      const dark = data[Math.floor(y / scale)]?.[Math.floor(x / scale)] === true;
      light[(top + y) * WIDE + left + x] = dark ? 30 : 225;
    }
  }
  const frame = Buffer.concat([Buffer.from('FRAME\n'), light, Buffer.alloc((WIDE * HIGH) / 2, 128)]);
  return Buffer.concat([Buffer.from(`YUV4MPEG2 W${WIDE} H${HIGH} F10:1 Ip A1:1 C420mpeg2\n`), frame, frame]);
}

let nursery: Nursery;
let scout: Device;
const folder = mkdtempSync(join(tmpdir(), 'bedwalk-film-'));

beforeAll(async () => {
  const camera = join(folder, 'code.y4m');
  writeFileSync(camera, film('LOT:KX 31:0A1B2C3D'));
  const server = await startSmallServer();
  const browser = await chromium.launch({
    ...browserProgram,
    args: [
      ...browserProgram.args,
      '--use-fake-ui-for-media-stream',
      '--use-fake-device-for-media-stream',
      `--use-file-for-fake-video-capture=${camera}`,
    ],
  });
  nursery = new Nursery(server, browser, () => browser.close());
  scout = await nursery.phone('scout');
  await scout.isReadyForTheField();
  await seesBeds(scout);
});
afterAll(async () => {
  await nursery?.close();
  rmSync(folder, { recursive: true });
});

test('a code before the camera is read out of range, by our own reader, and leads on', async () => {
  // Fetched ahead by itself, well after the start; without it the first scan out of range would have no reader.
  await expect
    .poll(() => scout.page.evaluate(async () => (await (await caches.open('bedwalk-reader')).keys()).length), {
      timeout: 120_000,
    })
    .toBe(1);
  await scout.goesOutOfRange();
  await scout.opens('/scan');
  await scout.sees('KX 31: no lot with this tag on this phone. Is it new?');
  await scout.picture('scan');
  await scout.taps('New lot KX 31');
  await expect.poll(() => scout.page.getByRole('textbox', { name: 'Tag code' }).inputValue()).toBe('KX 31');
  const hosts = await scout.page.evaluate(() =>
    performance.getEntriesByType('resource').map((entry) => new URL(entry.name).host),
  );
  expect(new Set(hosts).size).toBeLessThanOrEqual(1);
});

test('where the browser reads codes by itself, that reader is asked, and a known lot is opened at once', async () => {
  await scout.page.context().addInitScript((id) => {
    class Reader {
      static getSupportedFormats = async () => ['qr_code'];
      detect = async (picture: ImageBitmap) => (picture.width > 0 ? [{ rawValue: `LOT:AZ-101:${id}` }] : []);
    }
    Object.assign(globalThis, { BarcodeDetector: Reader });
  }, LOT_1.slice(0, 8).toUpperCase());
  await scout.opens('/scan');
  await scout.page.getByRole('heading', { name: 'AZ-101 Ember Lace' }).waitFor();
  expect(await scout.scripts()).not.toContainEqual(expect.stringContaining('reader.worker'));
});

test('a camera that is refused says what to do and moves nothing below it, and the typed code leads on', async () => {
  await scout.page.context().addInitScript(() => {
    const refused = new Promise<never>((_, refuses) => {
      addEventListener('refused', () => refuses(new DOMException('refused', 'NotAllowedError')));
    });
    navigator.mediaDevices.getUserMedia = () => refused;
  });
  await scout.opens('/scan');
  const find = async () => (await scout.page.getByRole('button', { name: /^Find$/ }).boundingBox())?.y;
  await scout.sees('Starting the camera…');
  const before = await find();
  await scout.page.evaluate(() => dispatchEvent(new Event('refused')));
  await scout.sees(/^The camera is not allowed. Allow it for this site in the browser’s settings/);
  expect(await find()).toBe(before);
  expect(await scout.accessibilityFaults()).toEqual([]);
  await scout.page.getByLabel(/type the tag/).fill('az-102');
  await scout.taps(/^Find$/);
  await scout.page.getByRole('heading', { name: 'AZ-102 Dusk Ferry' }).waitFor();
});
