/** Reads a photo before it is made small: which lens took it, and where the card lies in it. */
import { readExif } from '../../../../../sync/head/exif';
import type { Cut, Fitted } from '../../../../../sync/head/fit';
import { cameraOf, refusalOfCard, type Refusal } from '../../../../../sync/head/head';
import type { Camera, Point, Quad } from '../../../../../sync/head/pose';
import { BAR_MM, cardIn, type HeadCard } from '../../../forms/headcard';
import { openReader } from '../scan/reader';
import type { Asked, Told } from './fit.worker';

export interface Measured {
  file: File;
  camera: Camera;
  wide: number;
  high: number;
  card: HeadCard;
  code: Fitted;
}

export type NotMeasured = Refusal | 'unreadable' | 'noReader';

/** A picture of this size is searched first: whole ones take a phone seconds, and a card is large enough in it. */
const SEARCHED_PX = 1600;
/** Round the code, of its size, and the most that is cut in pixels. */
const ROUND = 0.35;
const MOST_CUT_PX = 2000;

export async function readPhoto(file: File): Promise<Measured | NotMeasured> {
  const taken = readExif(await file.arrayBuffer());
  const picture = await createImageBitmap(file, { imageOrientation: 'from-image' }).catch(() => undefined);
  if (!picture) return 'unreadable';
  try {
    const { width: wide, height: high } = picture;
    const camera = cameraOf(taken, wide, high);
    if (typeof camera === 'string') return camera;
    const found = await find(picture);
    if (typeof found === 'string') return found;
    const code = await fit(picture, found.code, found.corners);
    if (!code) return 'unclear';
    // How the card lies is the same however large it is.
    const refused = refusalOfCard({ camera, code, side: sideOf(found.card) });
    return refused ?? { file, camera, wide, high, card: found.card, code };
  } finally {
    picture.close();
  }
}

/** Side of the card's black square in mm. @param bar how long its printed bar was measured to be */
export function sideOf(card: HeadCard, bar = BAR_MM): number {
  return (card.mm * bar) / BAR_MM;
}

interface Found {
  code: string;
  card: HeadCard;
  corners: Quad;
}

async function find(picture: ImageBitmap): Promise<Found | NotMeasured> {
  const reader = await openReader();
  if (!reader) return 'noReader';
  try {
    const whole = Math.max(picture.width, picture.height);
    for (const size of whole > SEARCHED_PX ? [SEARCHED_PX, whole] : [whole]) {
      const by = size / whole;
      const [resizeWidth, resizeHeight] = [Math.round(picture.width * by), Math.round(picture.height * by)];
      const seen = await reader.read(
        await createImageBitmap(picture, { resizeWidth, resizeHeight, resizeQuality: 'medium' }),
      );
      const card = seen && cardIn(seen.code);
      const corners = seen?.corners.map(({ x, y }) => ({
        x: (x * picture.width) / resizeWidth,
        y: (y * picture.height) / resizeHeight,
      }));
      if (card && corners?.length === 4) return { code: seen.code.trim(), card, corners: corners as unknown as Quad };
    }
    return 'noCard';
  } finally {
    reader.close();
  }
}

async function fit(picture: ImageBitmap, code: string, near: Quad): Promise<Fitted | null> {
  const cut = cutOf(picture, near);
  if (!cut) return null;
  const worker = new Worker(new URL('./fit.worker.ts', import.meta.url), { type: 'module' });
  try {
    return await new Promise<Told>((done) => {
      worker.addEventListener('message', (event: MessageEvent<Told>) => done(event.data), { once: true });
      worker.addEventListener('error', () => done(null), { once: true });
      worker.postMessage({ cut, code, near } satisfies Asked);
    });
  } finally {
    worker.terminate();
  }
}

/** The piece of the picture where the code lies, in its own pixels, as lightness (ITU-R BT.601). */
function cutOf(picture: ImageBitmap, near: readonly Point[]): Cut | undefined {
  const [xs, ys] = [near.map(({ x }) => x), near.map(({ y }) => y)];
  const round = ROUND * Math.max(Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys));
  const [left, top] = [
    Math.max(0, Math.floor(Math.min(...xs) - round)),
    Math.max(0, Math.floor(Math.min(...ys) - round)),
  ];
  const wide = Math.min(picture.width, Math.ceil(Math.max(...xs) + round)) - left;
  const high = Math.min(picture.height, Math.ceil(Math.max(...ys) + round)) - top;
  if (wide > MOST_CUT_PX || high > MOST_CUT_PX) return undefined;
  const canvas = document.createElement('canvas');
  canvas.width = wide;
  canvas.height = high;
  const context = canvas.getContext('2d', { willReadFrequently: true });
  context?.drawImage(picture, left, top, wide, high, 0, 0, wide, high);
  const data = context?.getImageData(0, 0, wide, high).data;
  // WebKit keeps a canvas's memory until it is collected, and allows a page little of it.
  canvas.width = canvas.height = 0;
  if (!data) return undefined;
  const grey = new Float32Array(wide * high);
  for (let i = 0; i < grey.length; i++)
    grey[i] = 0.299 * (data[4 * i] ?? 0) + 0.587 * (data[4 * i + 1] ?? 0) + 0.114 * (data[4 * i + 2] ?? 0);
  return { grey, wide, high, left, top };
}
