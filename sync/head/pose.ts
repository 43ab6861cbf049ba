/**
 * Where a flat square card lies before a camera, and how far apart two points of the picture are on a plane beside it. Pixels are those of
 * the upright picture as the camera wrote it, x to the right and y down; millimetres are the camera's: x and y as in the picture, z
 * away from it.
 */
import { at, descend, quadratic, solve, type Matrix } from './solve.ts';

export interface Point {
  x: number;
  y: number;
}

/** Top left, top right, bottom right, bottom left of the code as it is printed. */
export type Quad = readonly [Point, Point, Point, Point];

export interface Camera {
  /** Focal length in pixels. */
  f: number;
  /** The middle of the picture. */
  cx: number;
  cy: number;
}

type Vector = readonly [x: number, y: number, z: number];

export interface Pose {
  /** Columns: the code's x, its y, and away from its face. */
  turn: readonly [Vector, Vector, Vector];
  /** The code's middle. */
  at: Vector;
}

/** Eight numbers of the projective map that takes the square's corners (±1, ±1) to those of the picture; the ninth is 1. */
export function mapOf(corners: Quad): number[] | null {
  const square = [
    [-1, -1],
    [1, -1],
    [1, 1],
    [-1, 1],
  ] as const;
  const rows: number[][] = [];
  const values: number[] = [];
  corners.forEach(({ x, y }, i) => {
    const [u, v] = square[i] ?? [0, 0];
    rows.push([u, v, 1, 0, 0, 0, -u * x, -v * x], [0, 0, 0, u, v, 1, -u * y, -v * y]);
    values.push(x, y);
  });
  return solve(rows, values);
}

const dot = (a: Vector, b: Vector) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const times = (a: Vector, by: number): Vector => [a[0] * by, a[1] * by, a[2] * by];
const plus = (a: Vector, b: Vector): Vector => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
const minus = (a: Vector, b: Vector): Vector => plus(a, times(b, -1));
const length = (a: Vector) => Math.sqrt(dot(a, a));
const unit = (a: Vector) => times(a, 1 / length(a));
const cross = (a: Vector, b: Vector): Vector => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

/** Turns a vector about an axis, by its length in radians (Rodrigues). */
function turned(v: Vector, about: Vector): Vector {
  const angle = length(about);
  if (angle < 1e-12) return plus(v, cross(about, v));
  const axis = times(about, 1 / angle);
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  return plus(plus(times(v, c), times(cross(axis, v), s)), times(axis, dot(axis, v) * (1 - c)));
}

/** Pixels of a point of the scene. */
function seen({ f, cx, cy }: Camera, [x, y, z]: Vector): Point {
  return { x: cx + (f * x) / z, y: cy + (f * y) / z };
}

function cornersOf({ turn: [across, down], at: middle }: Pose, side: number, camera: Camera): number[] {
  const half = side / 2;
  return (
    [
      [-half, -half],
      [half, -half],
      [half, half],
      [-half, half],
    ] as const
  ).flatMap(([u, v]) => {
    const { x, y } = seen(camera, plus(middle, plus(times(across, u), times(down, v))));
    return [x, y];
  });
}

/** A first pose, from the map alone: exact where the corners are. */
function startOf(corners: Quad, side: number, { f, cx, cy }: Camera): Pose | null {
  const map = mapOf(corners);
  if (!map) return null;
  const [a = 0, b = 0, c = 0, d = 0, e = 0, g = 0, p = 0, q = 0] = map;
  const column = (x: number, y: number, w: number): Vector => [(x - cx * w) / f, (y - cy * w) / f, w];
  const [across, down, middle] = [column(a, d, p), column(b, e, q), column(c, g, 1)];
  const size = side / (length(across) + length(down));
  const u = unit(across);
  const v = unit(minus(down, times(u, dot(u, down))));
  return { turn: [u, v, cross(u, v)], at: times(middle, size) };
}

/** The same place with the tilt that looks nearly alike from afar: the face turned to the other side of the line of sight. */
function mirrored({ turn, at: middle }: Pose): Pose {
  const sight = unit(middle);
  const away = turn[2];
  const axis = cross(away, sight);
  const size = length(axis);
  const about = size < 1e-9 ? ([0, 0, 0] as const) : times(axis, (2 * Math.atan2(size, dot(away, sight))) / size);
  const [u, v, w] = turn;
  return { turn: [turned(u, about), turned(v, about), turned(w, about)], at: middle };
}

/**
 * The pose whose corners lie nearest to those that were found.
 * @param side of the code's black square in mm
 * @param weight information matrix of the eight corner coordinates; without it all count alike
 * @returns misfit is 1 on average where nothing but noise keeps the corners from being those of a flat square; null where they are none
 */
export function poseOf(
  corners: Quad,
  side: number,
  camera: Camera,
  weight?: Matrix,
): { pose: Pose; misfit: number } | null {
  const first = startOf(corners, side, camera);
  if (!first || !(first.at[2] > 0)) return null;
  const found = corners.flatMap(({ x, y }) => [x, y]);
  const a = weight ?? found.map((_, i) => found.map((__, j) => (i === j ? 1 : 0)));
  const [one, other] = [first, mirrored(first)].map((start) => nearest(start, found, a, side, camera));
  const best = one && other && other.cost < one.cost ? other : one;
  return best ? { pose: best.pose, misfit: Math.sqrt(best.cost / 2) } : null;
}

function nearest(start: Pose, found: readonly number[], a: Matrix, side: number, camera: Camera) {
  const posed = (by: readonly number[]): Pose => {
    const about: Vector = [by[0] ?? 0, by[1] ?? 0, by[2] ?? 0];
    const [u, v, w] = start.turn;
    const shift: Vector = [by[3] ?? 0, by[4] ?? 0, by[5] ?? 0];
    return { turn: [turned(u, about), turned(v, about), turned(w, about)], at: plus(start.at, shift) };
  };
  const off = (by: readonly number[]) => {
    const has = cornersOf(posed(by), side, camera);
    return found.map((value, i) => value - (has[i] ?? 0));
  };
  const small = [1e-6, 1e-6, 1e-6, 1e-4, 1e-4, 1e-4];
  const { x, cost } = descend(
    [0, 0, 0, 0, 0, 0],
    (by) => {
      const here = off(by);
      const slopes = small.map((h, k) => {
        const [up, down] = [1, -1].map((sign) => off(by.map((each, i) => (i === k ? each + sign * h : each))));
        return here.map((_, i) => ((down?.[i] ?? 0) - (up?.[i] ?? 0)) / (2 * h));
      });
      const weighed = slopes.map((slope) =>
        here.map((_, i) => slope.reduce((sum, each, j) => sum + at(a, i, j) * each, 0)),
      );
      return {
        cost: quadratic(a, here),
        curvature: slopes.map((slope) =>
          weighed.map((other) => slope.reduce((sum, each, i) => sum + each * (other[i] ?? 0), 0)),
        ),
        downhill: weighed.map((slope) => slope.reduce((sum, each, i) => sum + each * (here[i] ?? 0), 0)),
      };
    },
    { most: 60, enough: 1e-9 },
  );
  return { pose: posed(x), cost };
}

/** True where the camera sees the code's face, and not its mirror image. */
export function isFacing({ turn, at: middle }: Pose): boolean {
  return dot(turn[2], middle) > 0;
}

/** The angle in radians between the card's face and straight at the camera. */
export function tiltOf({ turn }: Pose): number {
  return Math.acos(Math.min(1, Math.abs(turn[2][2])));
}

interface Span {
  /** Between the two points, in mm. */
  mm: number;
  /** From the camera to the plane, along its upright. */
  above: number;
  /** From the middle of the code to the middle between the points, along the plane. */
  aside: number;
}

/**
 * How far apart two points of the picture are on the plane that lies h mm over the card, toward the camera (below it: h is negative).
 * Null where the plane cannot be seen there.
 */
export function across(
  { turn, at: middle }: Pose,
  { f, cx, cy }: Camera,
  one: Point,
  other: Point,
  h: number,
): Span | null {
  // The card's upright, turned to the camera.
  const up = dot(turn[2], middle) > 0 ? times(turn[2], -1) : turn[2];
  const far = dot(up, middle) + h;
  const on = ({ x, y }: Point): Vector | null => {
    const ray: Vector = [(x - cx) / f, (y - cy) / f, 1];
    const by = far / dot(up, ray);
    return by > 0 && Number.isFinite(by) ? times(ray, by) : null;
  };
  const [first, second] = [on(one), on(other)];
  if (!first || !second) return null;
  const between = minus(times(plus(first, second), 0.5), middle);
  return {
    mm: length(minus(first, second)),
    above: -far,
    aside: length(minus(between, times(up, dot(up, between)))),
  };
}
