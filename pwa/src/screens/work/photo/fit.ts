/** How large a kept photo is. */

export const TYPE = 'image/jpeg';
export const QUALITY = 0.8;
/** Enough to see a leaf's veins on a desk's screen, and about 300 KB as a JPEG. */
const LONGEST_PX = 1600;

export interface Size {
  wide: number;
  high: number;
}

/** The size of a picture made small: never larger than it was, never narrower than one pixel. */
export function fit(wide: number, high: number): Size {
  const scale = Math.min(1, LONGEST_PX / Math.max(wide, high));
  return { wide: Math.max(1, Math.round(wide * scale)), high: Math.max(1, Math.round(high * scale)) };
}
