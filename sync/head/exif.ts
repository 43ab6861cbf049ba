/**
 * What a JPEG says about the camera that took it (Exif 2.32, CIPA DC-008; TIFF 6.0): read before the picture is drawn again, which leaves all
 * of it behind. Where a file says nothing, or is damaged, a field is missing; nothing is ever thrown.
 */

export interface Taken {
  /** Focal length of a lens that would see as much on film of 36 by 24 mm. */
  focal35?: number;
  /** Pixels as the camera wrote them, before any turning. */
  wide?: number;
  high?: number;
  /** How much was only enlarged, 1 for none. */
  zoom?: number;
}

const TAGS = { exif: 0x8769, wide: 0xa002, high: 0xa003, zoom: 0xa404, focal35: 0xa405 } as const;
/** Types of a value: how many bytes, in TIFF's numbers. */
const SHORT = 3;
const LONG = 4;
const RATIONAL = 5;

export function readExif(file: ArrayBuffer): Taken {
  try {
    const tiff = tiffOf(new DataView(file));
    return tiff ? takenIn(tiff) : {};
  } catch (error) {
    // Offsets that point out of the file: as much as if it said nothing.
    if (error instanceof RangeError) return {};
    throw error;
  }
}

/** The TIFF within the APP1 segment, which begins with "Exif". */
function tiffOf(file: DataView): DataView | undefined {
  if (file.byteLength < 4 || file.getUint16(0) !== 0xffd8) return undefined;
  for (let at = 2; at + 4 <= file.byteLength;) {
    const marker = file.getUint16(at);
    const size = file.getUint16(at + 2);
    // The picture itself begins: what was to be said is said.
    if (marker === 0xffda || marker < 0xff00 || size < 2) return undefined;
    if (marker === 0xffe1 && size >= 8 && file.getUint32(at + 4) === 0x45786966 && file.getUint16(at + 8) === 0) {
      const from = at + 10;
      return new DataView(file.buffer, file.byteOffset + from, Math.min(size - 8, file.byteLength - from));
    }
    at += 2 + size;
  }
  return undefined;
}

function takenIn(tiff: DataView): Taken {
  const little = tiff.getUint16(0) === 0x4949;
  const first = fieldsOf(tiff, tiff.getUint32(4, little), little);
  const at = first.get(TAGS.exif);
  if (at === undefined) return {};
  const fields = fieldsOf(tiff, at, little);
  const taken: Taken = {};
  for (const name of ['focal35', 'wide', 'high', 'zoom'] as const) {
    const value = fields.get(TAGS[name]);
    // 0 stands for "not known" in each of them.
    if (value !== undefined && value > 0) taken[name] = value;
  }
  return taken;
}

/** The first number of each field of a directory. */
function fieldsOf(tiff: DataView, at: number, little: boolean): Map<number, number> {
  const fields = new Map<number, number>();
  const count = tiff.getUint16(at, little);
  for (let i = 0; i < count; i++) {
    const field = at + 2 + 12 * i;
    const type = tiff.getUint16(field + 2, little);
    const value = field + 8;
    if (type === SHORT) fields.set(tiff.getUint16(field, little), tiff.getUint16(value, little));
    else if (type === LONG) fields.set(tiff.getUint16(field, little), tiff.getUint32(value, little));
    else if (type === RATIONAL) {
      const where = tiff.getUint32(value, little);
      const [over, under] = [tiff.getUint32(where, little), tiff.getUint32(where + 4, little)];
      if (under > 0) fields.set(tiff.getUint16(field, little), over / under);
    }
  }
  return fields;
}
