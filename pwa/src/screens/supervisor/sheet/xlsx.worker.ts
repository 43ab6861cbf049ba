/** Reads a workbook off the screen's thread, so that one that takes too long can be ended. */
import { sheetTexts, type SheetText } from './workbook';

export interface Asked {
  bytes: ArrayBuffer;
  mark: '.' | ',';
  most: number;
}

export type Told = { sheets: SheetText[] } | { refused: true };

addEventListener('message', ({ data: { bytes, mark, most } }: MessageEvent<Asked>) => {
  void sheetTexts(new Uint8Array(bytes), mark, most).then(
    (sheets) => postMessage({ sheets } satisfies Told),
    () => postMessage({ refused: true } satisfies Told),
  );
});
