/**
 * A head's diameter from a photo of it with a printed card on top: an estimate, with how far it may be out, or the reason why none is
 * given. TypeScript alone, since only phones take photos.
 */
import type { Taken } from './exif.ts';
import type { Fitted } from './fit.ts';
import { across, isFacing, poseOf, tiltOf, type Camera, type Point, type Pose } from './pose.ts';

/** Why there is no estimate; each has a sentence that says what to do. */
export type Refusal =
  | 'noFocal'
  | 'zoomed'
  | 'form'
  | 'cropped'
  | 'noCard'
  | 'small'
  | 'unclear'
  | 'bent'
  | 'mirrored'
  | 'tilted'
  | 'outside'
  | 'far'
  | 'wide';

/** Diagonal of film of 36 by 24 mm, which focal lengths are given for. */
const FILM_MM = Math.hypot(36, 24);
/**
 * Sides of a whole sensor, long over short. Beside a picture cut to 16:9 some cameras write the focal length of the whole lens, others that of
 * what is left, 9 % less, and none says which: with the middle of the two, 95 % of the errors were within 6.7 % (24 rendered photos).
 */
const FORMS = [4 / 3, 3 / 2];
const FORM_SLACK = 0.01;

/** @param wide of the picture as it is drawn, upright */
export function cameraOf(taken: Taken, wide: number, high: number): Camera | Refusal {
  if (taken.focal35 === undefined) return 'noFocal';
  if ((taken.zoom ?? 1) > 1) return 'zoomed';
  const form = formOf(wide, high);
  if (taken.wide !== undefined && taken.high !== undefined && !isLike(form, formOf(taken.wide, taken.high)))
    return 'cropped';
  if (!FORMS.some((each) => isLike(form, each))) return 'form';
  return { f: (taken.focal35 / FILM_MM) * Math.hypot(wide, high), cx: wide / 2, cy: high / 2 };
}

const formOf = (wide: number, high: number) => Math.max(wide, high) / Math.min(wide, high);
const isLike = (a: number, b: number) => Math.abs(a / b - 1) < FORM_SLACK;

export const LIMITS = {
  /** Pixels that a module needs. */
  module: 3,
  r2: 0.7,
  misfit: 5,
  tilt: (20 * Math.PI) / 180,
  /** Of the diameter: what is less certain is better measured with a ruler. */
  within: 0.06,
} as const;

/** SDs of what nobody sees in a picture. A leaf's edge is an assumption without a source; the others were measured on rendered photos. */
const SD = {
  /** A fingertip under a loupe, in pixels of the screen. */
  tap: 1.5,
  leafMM: 3,
  dropMM: 12,
  lean: (4 * Math.PI) / 180,
  /** The printed size, of the diameter, once the printed bar was measured; without that it would be 3 %, and nothing could be said. */
  print: 0.005,
} as const;

interface Asked {
  camera: Camera;
  /** Size of the whole picture. */
  wide: number;
  high: number;
  code: Fitted;
  /** Side of the code's black square in mm, by its printed bar. */
  side: number;
  /** From the card down to the widest leaves. */
  dropMM: number;
  /** The head's two edges, in pixels of the picture. */
  edges: readonly [Point, Point];
  /** Pixels of the picture to one of the screen, where the edges were tapped. */
  scale: number;
}

/** In 95 of 100 photos like those it was tried on the diameter lies within so much of mm. */
export interface Estimate {
  mm: number;
  within: number;
}

/** What speaks against the card as it lies, before anything was tapped. */
export function refusalOfCard(asked: Pick<Asked, 'camera' | 'code' | 'side'>): Refusal | undefined {
  const pose = poseOfCard(asked);
  return typeof pose === 'string' ? pose : undefined;
}

function poseOfCard({ camera, code, side }: Pick<Asked, 'camera' | 'code' | 'side'>): Pose | Refusal {
  if (code.module < LIMITS.module) return 'small';
  if (code.r2 < LIMITS.r2) return 'unclear';
  const found = poseOf(code.corners, side, camera, code.weight);
  if (!found) return 'unclear';
  if (!isFacing(found.pose)) return 'mirrored';
  if (found.misfit > LIMITS.misfit) return 'bent';
  return tiltOf(found.pose) > LIMITS.tilt ? 'tilted' : found.pose;
}

/** Two SDs are shown, as an interval of 95 % where errors are normal. */
export function estimate(asked: Asked): Estimate | Refusal {
  const { camera, wide, high, dropMM, edges, scale } = asked;
  const pose = poseOfCard(asked);
  if (typeof pose === 'string') return pose;
  if (edges.some(({ x, y }) => x < 0 || y < 0 || x > wide || y > high)) return 'outside';
  const span = across(pose, camera, edges[0], edges[1], -dropMM);
  if (!span) return 'unclear';
  // A dome's outline lies above its widest level, so it looks wider than it is.
  const dome = Math.sqrt(Math.max(0, 1 - (dropMM / span.above) ** 2));
  const mm = span.mm * dome;
  const lean = Math.tan(SD.lean);
  const perPixel = span.above / camera.f;
  const taps = 2 * (SD.tap * scale * perPixel) ** 2;
  const leaves = 2 * SD.leafMM ** 2;
  const tilt = (mm * Math.tan(tiltOf(pose)) * lean) ** 2;
  const rest = (SD.dropMM / span.above) ** 2 + ((span.aside * lean) / span.above) ** 2 + SD.print ** 2;
  const within = 2 * Math.sqrt(taps + leaves + tilt + mm * mm * rest);
  if (within <= LIMITS.within * mm) return { mm, within };
  // What a second photo could mend is said first.
  const enough = (LIMITS.within * mm) ** 2 / 4;
  if (taps + leaves + mm * mm * rest <= enough) return 'tilted';
  return taps > leaves && taps > enough / 2 ? 'far' : 'wide';
}
