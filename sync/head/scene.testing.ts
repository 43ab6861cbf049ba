/**
 * Photos of a head with a card on it whose size is known, because they are computed: a dome of leaves, a camera over it that leans, a card that
 * leans too. It shares no line with what measures them: there a map of corners is inverted, here rays are cast from the camera.
 */
import type { Cut } from './fit.ts';
import type { Camera, Point, Quad } from './pose.ts';

type Vector = [x: number, y: number, z: number];

export interface Scene {
  camera: Camera;
  wide: number;
  high: number;
  /** Widest diameter of the dome, and how high it stands over its widest level, in mm. */
  head: number;
  dome: number;
  /** From the camera to the card, and its lean from straight down, in radians, toward a direction. */
  away: number;
  tilt: number;
  toward: number;
  /** The card's black side in mm, its lean and where that leads, its turn on the head, and how far from the head's middle it lies. */
  side: number;
  lean: number;
  leanToward: number;
  turn: number;
  aside: number;
  /** Bend of the card, as the radius of a cylinder in mm; 0 for flat. */
  bend?: number;
  /** True for a picture that shows everything the other way round, as some front cameras do. */
  mirrored?: boolean;
}

/** A chance that is the same in each run (mulberry32, Tommy Ettinger, public domain). */
export function chance(seed: number) {
  let state = seed >>> 0;
  const uniform = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  const normal = (sd = 1) => sd * Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  return { uniform, normal };
}

const add = (a: Vector, b: Vector, by = 1): Vector => [a[0] + by * b[0], a[1] + by * b[1], a[2] + by * b[2]];
const dot = (a: Vector, b: Vector) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a: Vector, b: Vector): Vector => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
const unit = (a: Vector): Vector => {
  const size = Math.hypot(...a);
  return [a[0] / size, a[1] / size, a[2] / size];
};

/** The world: z is up, the head's widest level is z = 0, its middle the origin. */
function placesOf(scene: Scene) {
  const cardAt: Vector = [scene.aside, 0, scene.dome];
  const [s, c] = [Math.sin(scene.tilt), Math.cos(scene.tilt)];
  const back: Vector = [s * Math.cos(scene.toward), s * Math.sin(scene.toward), c];
  const eye = add([0, 0, scene.dome], back, scene.away);
  const forward: Vector = [-back[0], -back[1], -back[2]];
  const right = unit(cross(forward, [0, 1, 0]));
  const down = cross(forward, right);
  const up: Vector = [
    Math.sin(scene.lean) * Math.cos(scene.leanToward),
    Math.sin(scene.lean) * Math.sin(scene.leanToward),
    Math.cos(scene.lean),
  ];
  const along = unit(
    add([Math.cos(scene.turn), Math.sin(scene.turn), 0], up, -dot([Math.cos(scene.turn), Math.sin(scene.turn), 0], up)),
  );
  // Seen from above, y of the print runs clockwise from its x.
  const below = cross(along, up);
  return { eye, forward, right, down, cardAt, up, along, below };
}

type Places = ReturnType<typeof placesOf>;

function pixelOf(scene: Scene, { eye, forward, right, down }: Places, point: Vector): Point {
  const to = add(point, eye, -1);
  const depth = dot(to, forward);
  const { f, cx, cy } = scene.camera;
  const x = (f * dot(to, right)) / depth;
  return { x: cx + (scene.mirrored ? -x : x), y: cy + (f * dot(to, down)) / depth };
}

/** Where a reader would see the code's corners. */
export function cornersOf(scene: Scene): Quad {
  const places = placesOf(scene);
  const half = scene.side / 2;
  const corner = (u: number, v: number) =>
    pixelOf(
      scene,
      places,
      add(add(add(places.cardAt, places.along, u * half), places.below, v * half), places.up, riseOf(scene, u * half)),
    );
  return [corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1)];
}

/** How much lower than its middle a bent card lies, so far from it. */
function riseOf({ bend = 0 }: Scene, u: number): number {
  return bend > 0 ? Math.sqrt(bend * bend - u * u) - bend : 0;
}

/** The two edges of the head's outline that lie farthest apart along a direction of the picture. */
export function edgesOf(scene: Scene, direction: number): [Point, Point] {
  const places = placesOf(scene);
  const ends: { at: Point; by: number }[] = [];
  const [dx, dy] = [Math.cos(direction), Math.sin(direction)];
  for (let i = 0; i <= 120; i++) {
    const rise = (Math.PI / 2) * (i / 120);
    for (let j = 0; j < 720; j++) {
      const round = (2 * Math.PI * j) / 720;
      const out = (scene.head / 2) * Math.cos(rise);
      const at = pixelOf(scene, places, [out * Math.cos(round), out * Math.sin(round), scene.dome * Math.sin(rise)]);
      ends.push({ at, by: at.x * dx + at.y * dy });
    }
  }
  const most = (sign: number) => ends.reduce((best, each) => (sign * each.by > sign * best.by ? each : best)).at;
  return [most(-1), most(1)];
}

export interface Light {
  /** SD of the blur in pixels, and of the noise in steps of 255. */
  blur: number;
  noise: number;
  /** How much darker the right edge of the picture is than the left one, of 1. */
  falls: number;
}

/** A piece of the photo: rays through each pixel, in so many rows and columns; then blur and noise. */
export function photograph(
  scene: Scene,
  dark: readonly (readonly boolean[])[],
  { left, top, wide, high }: Omit<Cut, 'grey'>,
  light: Light,
  random: ReturnType<typeof chance>,
  rays = 3,
): Cut {
  const offsets = Array.from({ length: rays }, (_, i) => (i + 0.5) / rays - 0.5);
  const places = placesOf(scene);
  const sharp = new Float32Array(wide * high);
  for (let y = 0; y < high; y++) {
    for (let x = 0; x < wide; x++) {
      let sum = 0;
      for (const i of offsets) for (const j of offsets) sum += shadeAt(scene, places, dark, left + x + i, top + y + j);
      sharp[y * wide + x] = (sum / rays ** 2) * (1 - (light.falls * (left + x)) / scene.wide);
    }
  }
  const soft = smooth(smooth(sharp, wide, high, 1, light.blur), high, wide, wide, light.blur);
  const grey = Uint8ClampedArray.from(soft, (value) => Math.round(value + random.normal(light.noise)));
  return { grey, wide, high, left, top };
}

function shadeAt(scene: Scene, places: Places, dark: readonly (readonly boolean[])[], px: number, py: number): number {
  const { camera, side } = scene;
  const x = ((px - camera.cx) / camera.f) * (scene.mirrored ? -1 : 1);
  const ray = add(add(places.forward, places.right, x), places.down, (py - camera.cy) / camera.f);
  let low = 0;
  let at: Vector = places.cardAt;
  // A bent card is met by trying: the height where the ray last met it.
  for (let round = 0; round < (scene.bend ? 6 : 1); round++) {
    const by = (dot(add(places.cardAt, places.eye, -1), places.up) + low) / dot(ray, places.up);
    at = add(places.eye, ray, by);
    low = riseOf(scene, dot(add(at, places.cardAt, -1), places.along));
  }
  const off = add(at, places.cardAt, -1);
  const cell = side / dark.length;
  const [u, v] = [dot(off, places.along) / cell + dark.length / 2, dot(off, places.below) / cell + dark.length / 2];
  const inner = -3.9;
  if (u > inner && v > inner && u < dark.length - inner && v < dark.length - inner)
    return dark[Math.floor(v)]?.[Math.floor(u)] === true ? 34 : 226;
  const level = -places.eye[2] / ray[2];
  const ground = add(places.eye, ray, level);
  const leaves = 16 * Math.sin(ground[0] / 5) * Math.sin(ground[1] / 6.5);
  return Math.hypot(ground[0], ground[1]) < scene.head / 2 ? 118 + leaves : 44;
}

/** Along lines whose values lie so many apart. */
function smooth(from: Float32Array, count: number, lines: number, stride: number, sd: number): Float32Array {
  const other = stride === 1 ? count : 1;
  const reach = Math.ceil(3 * sd);
  const bell = Array.from({ length: 2 * reach + 1 }, (_, i) => Math.exp(-(((i - reach) / sd) ** 2) / 2));
  const sum = bell.reduce((all, each) => all + each, 0);
  const to = new Float32Array(from.length);
  for (let line = 0; line < lines; line++) {
    for (let i = 0; i < count; i++) {
      let value = 0;
      for (let k = -reach; k <= reach; k++)
        value += (bell[k + reach] ?? 0) * (from[line * other + Math.min(count - 1, Math.max(0, i + k)) * stride] ?? 0);
      to[line * other + i * stride] = value / sum;
    }
  }
  return to;
}

/** An APP1 segment as cameras write it: TIFF in either order of bytes, a directory with one field, the camera's with four. */
export function exifOf(
  taken: { focal35: number; wide: number; high: number; zoom: number },
  little: boolean,
): Uint8Array {
  const tiff = new DataView(new ArrayBuffer(108));
  const put = (at: number, tag: number, type: number, value: number) => {
    tiff.setUint16(at, tag, little);
    tiff.setUint16(at + 2, type, little);
    tiff.setUint32(at + 4, 1, little);
    if (type === 3) tiff.setUint16(at + 8, value, little);
    else tiff.setUint32(at + 8, value, little);
  };
  tiff.setUint16(0, little ? 0x4949 : 0x4d4d);
  tiff.setUint16(2, 42, little);
  tiff.setUint32(4, 8, little);
  tiff.setUint16(8, 1, little);
  put(10, 0x8769, 4, 30);
  tiff.setUint16(30, 4, little);
  put(32, 0xa002, 4, taken.wide);
  put(44, 0xa003, 3, taken.high);
  put(56, 0xa404, 5, 100);
  put(68, 0xa405, 3, taken.focal35);
  tiff.setUint32(100, 100 * taken.zoom, little);
  tiff.setUint32(104, 100, little);
  const size = tiff.byteLength + 8;
  const head = [0xff, 0xe1, size >> 8, size & 255, 0x45, 0x78, 0x69, 0x66, 0, 0];
  return new Uint8Array([...head, ...new Uint8Array(tiff.buffer)]);
}
