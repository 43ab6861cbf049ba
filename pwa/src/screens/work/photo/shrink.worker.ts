/**
 * Makes a picture small, off the screen's thread. Drawing it anew turns it upright and leaves every byte of its file
 * behind, and with them where and on what it was taken.
 */
import { fit, QUALITY, TYPE } from './fit';

export interface Shrunk {
  bytes: ArrayBuffer;
  hash: string;
  wide: number;
  high: number;
}

/** undefined: the file is no picture that this browser can read. */
export type Reply = Shrunk | undefined;

addEventListener('message', (event: MessageEvent<Blob>) => {
  void shrink(event.data).then(
    (shrunk) => postMessage(shrunk, { transfer: [shrunk.bytes] }),
    () => postMessage(undefined),
  );
});

async function shrink(file: Blob): Promise<Shrunk> {
  const picture = await createImageBitmap(file, { imageOrientation: 'from-image' });
  const { wide, high } = fit(picture.width, picture.height);
  const canvas = new OffscreenCanvas(wide, high);
  const context = canvas.getContext('2d', { alpha: false });
  if (!context) throw new Error('no canvas: the picture cannot be made small; update the browser');
  context.imageSmoothingQuality = 'high';
  context.drawImage(picture, 0, 0, wide, high);
  picture.close();
  const bytes = await (await canvas.convertToBlob({ type: TYPE, quality: QUALITY })).arrayBuffer();
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  const hash = Array.from(digest, (byte) => byte.toString(16).padStart(2, '0')).join('');
  return { bytes, hash, wide, high };
}
