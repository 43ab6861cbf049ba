/** A picture as a camera writes it, for what must be gone from it once it is kept. */
import type { Page } from 'playwright-core';

/** A JPEG as a phone's camera writes it: 2400 × 1200, to be turned by a quarter, with a place in its Exif data. */
export async function cameraFile(page: Page): Promise<Buffer> {
  const plain = await page.evaluate(async () => {
    const canvas = new OffscreenCanvas(2400, 1200);
    const context = canvas.getContext('2d');
    if (!context) throw new Error('no canvas');
    for (let x = 0; x < 2400; x += 40) {
      context.fillStyle = `hsl(${x % 360} 60% 50%)`;
      context.fillRect(x, 0, 40, 1200);
    }
    return [...new Uint8Array(await (await canvas.convertToBlob({ type: 'image/jpeg' })).arrayBuffer())];
  });
  const jpeg = Buffer.from(plain);
  return Buffer.concat([jpeg.subarray(0, 2), exif(), jpeg.subarray(2)]);
}

/** An APP1 segment (Exif 2.3, TIFF 6.0, big-endian): orientation 6, and a GPS directory whose datum is "GPS-MARK". */
function exif(): Buffer {
  const short = (value: number) => Buffer.from([value >> 8, value & 255]);
  const long = (value: number) => Buffer.concat([short(value >>> 16), short(value & 65535)]);
  const mark = Buffer.from('GPS-MARK\0', 'latin1');
  const gpsAt = 8 + 2 + 2 * 12 + 4;
  const markAt = gpsAt + 2 + 12 + 4;
  const tiff = Buffer.concat([
    Buffer.from('MM\0*', 'latin1'),
    long(8),
    short(2),
    short(0x0112),
    short(3),
    long(1),
    short(6),
    short(0), // orientation: the right side is up
    short(0x8825),
    short(4),
    long(1),
    long(gpsAt), // where the GPS directory is
    long(0),
    short(1),
    short(0x0012),
    short(2),
    long(mark.length),
    long(markAt), // GPSMapDatum
    long(0),
    mark,
  ]);
  const body = Buffer.concat([Buffer.from('Exif\0\0', 'latin1'), tiff]);
  return Buffer.concat([Buffer.from([0xff, 0xe1]), short(body.length + 2), body]);
}
