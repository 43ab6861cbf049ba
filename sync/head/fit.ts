/**
 * Finds the corners of a printed code to a fraction of a pixel: a reader gives whole pixels, which at a card's size would be several
 * per cent of a head. The whole pattern, which is known from the text, is laid over the picture, with the light as a plane.
 */
import { mapOf, type Point, type Quad } from './pose.ts';
import { at, descend, solve, type Matrix } from './solve.ts';

/** A piece of the picture, cut from it where the code lies. */
export interface Cut {
  /** Lightness from 0 to 255, row by row. */
  grey: ArrayLike<number>;
  wide: number;
  high: number;
  /** Where its first pixel lies in the whole picture. */
  left: number;
  top: number;
}

export interface Fitted {
  corners: Quad;
  /** Information matrix of the eight corner coordinates, in order x, y from the top left. */
  weight: number[][];
  /** The share of the cut's variation that the pattern explains. */
  r2: number;
  /** Mean size of a module in pixels. */
  module: number;
}

/** SD of the blur in pixels; the best is kept. */
const BLURS = [0.55, 0.9, 1.4];
/** Modules of white round the code that are looked at; a printed card has 4. */
const EDGE = 1.5;
const QUIET = 4;
/** More pixels than this say nothing new. */
const ENOUGH = 16_000;
/** A step of a corner in pixels, for slopes. */
const NUDGE = 0.25;

/**
 * @param dark the code's modules, dark is true
 * @param near corners as a reader gives them, in the whole picture, in any order of turning
 * @returns null where no way of laying the pattern there is like the picture
 */
export function fitCode(cut: Cut, dark: readonly (readonly boolean[])[], near: Quad): Fitted | null {
  const start = near.map(({ x, y }) => ({ x: x - cut.left, y: y - cut.top }));
  const size = dark.length;
  const module = sideOf(start) / size;
  if (!(module > 1)) return null;
  const looked = pixelsOf(cut, start, size);
  let best: Fit | undefined;
  for (const blur of BLURS) {
    const pattern = blurred(dark, blur / module, Math.min(16, Math.max(6, Math.ceil(module))));
    // A reader may begin at another corner than the first: the pattern itself says which way the code lies.
    const from = best ? best.x : turnOf(cut, pattern, start, looked);
    const fit = from && fitOne(cut, pattern, from, looked);
    if (fit && (!best || fit.cost < best.cost)) best = fit;
  }
  if (!best) return null;
  const weight = weightOf(best.curvature, best.cost / Math.max(1, looked.length - 12));
  if (!weight) return null;
  const corners = quadOf(best.x);
  const whole = corners.map(({ x, y }) => ({ x: x + cut.left, y: y + cut.top }));
  const spread = spreadOf(cut, looked);
  return {
    corners: whole as unknown as Quad,
    weight,
    r2: spread > 0 ? 1 - best.cost / spread : 0,
    module: sideOf(corners) / size,
  };
}

interface Pattern {
  /** Whiteness from 0 to 1 of a square of cells, with the quiet edge. */
  white: Float32Array;
  cells: number;
  /** Cells to a module. */
  fine: number;
  modules: number;
}

function blurred(dark: readonly (readonly boolean[])[], sd: number, fine: number): Pattern {
  const modules = dark.length;
  const cells = (modules + 2 * QUIET) * fine;
  const sharp = new Float32Array(cells * cells).fill(1);
  dark.forEach((row, v) =>
    row.forEach((is, u) => {
      if (!is) return;
      for (let y = (v + QUIET) * fine; y < (v + QUIET + 1) * fine; y++)
        sharp.fill(0, y * cells + (u + QUIET) * fine, y * cells + (u + QUIET + 1) * fine);
    }),
  );
  const reach = Math.max(1, Math.ceil(3 * sd * fine));
  const bell = Array.from({ length: 2 * reach + 1 }, (_, i) => Math.exp(-(((i - reach) / (sd * fine)) ** 2) / 2));
  const sum = bell.reduce((all, each) => all + each, 0);
  const along = (from: Float32Array, stride: number, other: number) => {
    const to = new Float32Array(from.length);
    for (let line = 0; line < cells; line++) {
      for (let i = 0; i < cells; i++) {
        let value = 0;
        for (let k = -reach; k <= reach; k++) {
          const j = Math.min(cells - 1, Math.max(0, i + k));
          value += (bell[k + reach] ?? 0) * (from[line * other + j * stride] ?? 0);
        }
        to[line * other + i * stride] = value / sum;
      }
    }
    return to;
  };
  return { white: along(along(sharp, 1, cells), cells, 1), cells, fine, modules };
}

/** Whiteness of the pattern where a pixel lies by a map to modules. Asked millions of times: it makes no lists. */
function whiteAt({ white, cells, fine }: Pattern, map: readonly number[], px: number, py: number): number {
  const w = (map[6] ?? 0) * px + (map[7] ?? 0) * py + (map[8] ?? 0);
  const u = ((map[0] ?? 0) * px + (map[1] ?? 0) * py + (map[2] ?? 0)) / w;
  const v = ((map[3] ?? 0) * px + (map[4] ?? 0) * py + (map[5] ?? 0)) / w;
  const x = Math.min(cells - 1.001, Math.max(0, (u + QUIET) * fine - 0.5));
  const y = Math.min(cells - 1.001, Math.max(0, (v + QUIET) * fine - 0.5));
  const i = Math.floor(x);
  const j = Math.floor(y);
  const a = x - i;
  const b = y - j;
  const k = j * cells + i;
  const upper = (white[k] ?? 0) * (1 - a) + (white[k + 1] ?? 0) * a;
  const lower = (white[k + cells] ?? 0) * (1 - a) + (white[k + cells + 1] ?? 0) * a;
  return upper * (1 - b) + lower * b;
}

/** The map from pixels to modules, nine numbers. */
function toModules(x: readonly number[], modules: number): number[] | null {
  const map = mapOf(quadOf(x));
  if (!map) return null;
  const [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0, g = 0, h = 0] = map;
  // The adjugate is the inverse but for a factor, which a projective map does not have.
  const back = [
    e - f * h,
    c * h - b,
    b * f - c * e,
    f * g - d,
    a - c * g,
    c * d - a * f,
    d * h - e * g,
    b * g - a * h,
    a * e - b * d,
  ];
  const half = modules / 2;
  // From -1 to 1 becomes 0 to the number of modules.
  const [p = 0, q = 0, r = 0, s = 0, t = 0, u = 0, v = 0, w = 0, z = 0] = back;
  return [half * (p + v), half * (q + w), half * (r + z), half * (s + v), half * (t + w), half * (u + z), v, w, z];
}

function quadOf(x: readonly number[]): Quad {
  const corner = (i: number): Point => ({ x: x[2 * i] ?? 0, y: x[2 * i + 1] ?? 0 });
  return [corner(0), corner(1), corner(2), corner(3)];
}

/** Mean of the four sides. */
function sideOf(corners: readonly Point[]): number {
  return corners.reduce((sum, { x, y }, i) => {
    const next = corners[(i + 1) % 4] ?? { x, y };
    return sum + Math.hypot(next.x - x, next.y - y) / 4;
  }, 0);
}

/** Pixels of the cut within the code and a little round it, as pairs x, y. */
function pixelsOf(cut: Cut, corners: readonly Point[], modules: number): readonly (readonly [number, number])[] {
  const map = toModules(
    corners.flatMap(({ x, y }) => [x, y]),
    modules,
  );
  if (!map) return [];
  const [xs, ys] = [corners.map(({ x }) => x), corners.map(({ y }) => y)];
  const wider = (EDGE / modules) * 1.5 * sideOf(corners);
  const [left, right] = [
    Math.max(0, Math.ceil(Math.min(...xs) - wider)),
    Math.min(cut.wide - 1, Math.max(...xs) + wider),
  ];
  const [top, low] = [Math.max(0, Math.ceil(Math.min(...ys) - wider)), Math.min(cut.high - 1, Math.max(...ys) + wider)];
  const stride = Math.max(1, Math.ceil(Math.sqrt(((right - left) * (low - top)) / ENOUGH)));
  const all: [number, number][] = [];
  for (let y = top; y <= low; y += stride) {
    for (let x = left; x <= right; x += stride) {
      const [u, v] = placed(map, x, y);
      if (u > -EDGE && v > -EDGE && u < modules + EDGE && v < modules + EDGE) all.push([x, y]);
    }
  }
  return all;
}

/** Where a pixel lies, in modules. */
function placed(map: readonly number[], x: number, y: number): [number, number] {
  const [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0, g = 0, h = 0, i = 0] = map;
  const w = g * x + h * y + i;
  return [(a * x + b * y + c) / w, (d * x + e * y + f) / w];
}

const greyAt = (cut: Cut, x: number, y: number) => cut.grey[y * cut.wide + x] ?? 0;

function spreadOf(cut: Cut, looked: readonly (readonly [number, number])[]): number {
  let [sum, squares] = [0, 0];
  for (const [x, y] of looked) {
    const grey = greyAt(cut, x, y);
    sum += grey;
    squares += grey * grey;
  }
  return looked.length > 0 ? squares - (sum * sum) / looked.length : 0;
}

interface Fit {
  x: number[];
  cost: number;
  curvature: Matrix;
}

/** Light: how bright black is, how much brighter white, and the slope across the cut, in thousandths of it. */
const LIGHT = 4;

/** The turning in which the pattern is most like the picture, with the light that fits it; undefined where it is like it in none. */
function turnOf(cut: Cut, pattern: Pattern, start: readonly Point[], looked: readonly (readonly [number, number])[]) {
  let best: { x: number[]; cost: number } | undefined;
  for (let turn = 0; turn < 4; turn++) {
    const corners = [0, 1, 2, 3].flatMap((i) => {
      const { x, y } = start[(i + turn) % 4] ?? { x: 0, y: 0 };
      return [x, y];
    });
    const light = lightOf(cut, pattern, corners, looked);
    if (light && (light.x[1] ?? 0) > 0 && (!best || light.cost < best.cost))
      best = { x: [...corners, ...light.x], cost: light.cost };
  }
  return best?.x;
}

function lightOf(
  cut: Cut,
  pattern: Pattern,
  corners: readonly number[],
  looked: readonly (readonly [number, number])[],
) {
  const map = toModules(corners, pattern.modules);
  if (!map) return undefined;
  const sums = Sums(LIGHT);
  let squares = 0;
  for (const [x, y] of looked) {
    const grey = greyAt(cut, x, y);
    squares += grey * grey;
    sums.add([1, whiteAt(pattern, map, x, y), x / 1000, y / 1000], grey);
  }
  const light = solve(sums.curvature, sums.slope);
  return light && { x: light, cost: squares - light.reduce((sum, each, i) => sum + each * (sums.slope[i] ?? 0), 0) };
}

/** Adds up the normal equations of a fit. */
function Sums(n: number) {
  const curvature = Array.from({ length: n }, () => Array.from({ length: n }, () => 0));
  const slope = Array.from({ length: n }, () => 0);
  return {
    curvature,
    slope,
    add(row: readonly number[], value: number) {
      for (let i = 0; i < n; i++) {
        const each = row[i] ?? 0;
        slope[i] = (slope[i] ?? 0) + each * value;
        const line = curvature[i] ?? [];
        for (let j = 0; j < n; j++) line[j] = (line[j] ?? 0) + each * (row[j] ?? 0);
      }
    },
  };
}

function fitOne(
  cut: Cut,
  pattern: Pattern,
  start: readonly number[],
  looked: readonly (readonly [number, number])[],
): Fit | undefined {
  const step = (x: readonly number[]) => {
    const sums = Sums(8 + LIGHT);
    const map = toModules(x, pattern.modules);
    const nudged = Array.from({ length: 8 }, (_, k) =>
      toModules(
        x.map((each, i) => (i === k ? each + NUDGE : each)),
        pattern.modules,
      ),
    );
    if (!map || nudged.includes(null)) return { cost: Infinity, curvature: sums.curvature, downhill: sums.slope };
    const [black = 0, white = 0, slopeX = 0, slopeY = 0] = x.slice(8);
    let cost = 0;
    const row = Array.from({ length: 8 + LIGHT }, () => 0);
    for (const [px, py] of looked) {
      const whiteness = whiteAt(pattern, map, px, py);
      const off = greyAt(cut, px, py) - (black + white * whiteness + (slopeX * px + slopeY * py) / 1000);
      for (let k = 0; k < 8; k++) row[k] = (white * (whiteAt(pattern, nudged[k] ?? map, px, py) - whiteness)) / NUDGE;
      row[8] = 1;
      row[9] = whiteness;
      row[10] = px / 1000;
      row[11] = py / 1000;
      sums.add(row, off);
      cost += off * off;
    }
    return { cost, curvature: sums.curvature, downhill: sums.slope };
  };
  const { x, cost, curvature } = descend(start, step, { most: 12, enough: 0.003 });
  return Number.isFinite(cost) ? { x, cost, curvature } : undefined;
}

/** Information on the corners alone, once the light is known as well as the picture says. */
function weightOf(curvature: Matrix, noise: number): number[][] | null {
  const light = [8, 9, 10, 11];
  const inner = light.map((i) => light.map((j) => at(curvature, i, j)));
  const corners = [0, 1, 2, 3, 4, 5, 6, 7];
  const solved = corners.map((k) =>
    solve(
      inner,
      light.map((i) => at(curvature, i, k)),
    ),
  );
  if (solved.includes(null) || !(noise > 0)) return null;
  return corners.map((i) =>
    corners.map(
      (j) =>
        (at(curvature, i, j) - light.reduce((sum, l, k) => sum + at(curvature, i, l) * (solved[j]?.[k] ?? 0), 0)) /
        noise,
    ),
  );
}
