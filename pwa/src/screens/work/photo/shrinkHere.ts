/** Makes a picture small in the page itself, where the browser has no canvas for workers (WebKit before 16.4). */
import { fit } from './fit';
import { shrinkOn, type Shrunk } from './shrink';

/** An image element is turned upright by its data in every engine, which not every bitmap is. @throws for what is no picture */
export async function shrinkHere(file: Blob): Promise<Shrunk> {
  const url = URL.createObjectURL(file);
  const canvas = document.createElement('canvas');
  try {
    const picture = new Image();
    picture.src = url;
    await picture.decode();
    const { wide, high } = fit(picture.naturalWidth, picture.naturalHeight);
    canvas.width = wide;
    canvas.height = high;
    return await shrinkOn(canvas, picture);
  } finally {
    URL.revokeObjectURL(url);
    // WebKit keeps a canvas's memory until it is collected, and allows a page little of it.
    canvas.width = canvas.height = 0;
  }
}
