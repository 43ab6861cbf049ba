/** Makes a picture small, off the screen's thread. */
import { fit } from './fit';
import { shrinkOn, type Shrunk } from './shrink';

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
  const shrunk = await shrinkOn(new OffscreenCanvas(wide, high), picture);
  picture.close();
  return shrunk;
}
