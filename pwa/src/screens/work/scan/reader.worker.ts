/** Reads codes out of pictures where the browser cannot, off the screen's thread. Its wasm is ours, never a far host's. */
import { BarcodeDetector, prepareZXingModule } from 'barcode-detector/ponyfill';
import wasm from 'zxing-wasm/reader/zxing_reader.wasm?url';

export type Asked = { ready: true } | { picture: ImageBitmap };
export interface Found {
  code: string;
  /** The four corners of its black square, in pixels of the picture, one after the other around it. */
  corners: readonly { x: number; y: number }[];
}
export type Told = { ready: boolean } | { found: Found | undefined };

const prepared = prepareZXingModule({
  overrides: { locateFile: (name: string) => (name.endsWith('.wasm') ? wasm : name) },
  fireImmediately: true,
});
const detector = new BarcodeDetector({ formats: ['qr_code'] });

addEventListener('message', (event: MessageEvent<Asked>) => {
  void answer(event.data).then((given) => postMessage(given));
});

async function answer(asked: Asked): Promise<Told> {
  if ('ready' in asked) {
    return prepared.then(
      () => ({ ready: true }),
      () => ({ ready: false }),
    );
  }
  try {
    const [found] = await detector.detect(asked.picture);
    return { found: found && { code: found.rawValue, corners: found.cornerPoints } };
  } catch {
    // One picture that cannot be read is one of many: the next comes in a moment.
    return { found: undefined };
  } finally {
    asked.picture.close();
  }
}
