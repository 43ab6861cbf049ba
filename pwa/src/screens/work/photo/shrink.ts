/**
 * Makes a picture small, in a worker or in the page. Drawing it again turns it upright and leaves every byte of its file behind, and
 * with them where and on what it was taken.
 */
import { QUALITY, TYPE, type Size } from './fit';

export interface Shrunk extends Size {
  bytes: ArrayBuffer;
  hash: string;
}

type Canvas = OffscreenCanvas | HTMLCanvasElement;

/** Draws the picture on a canvas that has its new size, and writes that down. */
export async function shrinkOn(canvas: Canvas, picture: ImageBitmap | HTMLImageElement): Promise<Shrunk> {
  const { width: wide, height: high } = canvas;
  const context = contextOf(canvas);
  if (!context) throw new Error('no canvas: the picture cannot be made small; update the browser');
  context.imageSmoothingQuality = 'high';
  context.drawImage(picture, 0, 0, wide, high);
  const bytes = await (await written(canvas)).arrayBuffer();
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  const hash = Array.from(digest, (byte) => byte.toString(16).padStart(2, '0')).join('');
  return { bytes, hash, wide, high };
}

function contextOf(canvas: Canvas) {
  return 'convertToBlob' in canvas
    ? canvas.getContext('2d', { alpha: false })
    : canvas.getContext('2d', { alpha: false });
}

async function written(canvas: Canvas): Promise<Blob> {
  if ('convertToBlob' in canvas) return canvas.convertToBlob({ type: TYPE, quality: QUALITY });
  const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, TYPE, QUALITY));
  if (!blob) throw new Error('the small picture cannot be written; close other apps and try again');
  return blob;
}
