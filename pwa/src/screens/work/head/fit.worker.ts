/** Fits a card's code in the cut of a photo, off the screen's thread: about a second on a slow phone. */
import { encode } from 'uqr';
import { fitCode, type Cut, type Fitted } from '../../../../../sync/head/fit';
import type { Quad } from '../../../../../sync/head/pose';

export interface Asked {
  cut: Cut;
  /** The code's own text, by which it is drawn again. */
  code: string;
  near: Quad;
}

export type Told = Fitted | null;

addEventListener('message', ({ data: { cut, code, near } }: MessageEvent<Asked>) => {
  const dark = encode(code, { ecc: 'Q', border: 0 }).data;
  postMessage(fitCode(cut, dark, near) satisfies Told);
});
