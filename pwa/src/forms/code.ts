/** What stands in a tag's code, and which lot it means. */
import type { Lot } from '../../../schema/types';
import type { Plain } from '../journal/records/registers';
import { tidyTag } from './typed';

const START = 'LOT:';
/** Enough of a lot's id to tell it from every other lot of a nursery, and short enough for a small code. */
const ID_DIGITS = 8;

/**
 * The code on a printed tag: "LOT:0412:9F3C21AB", the lot's tag and the start of its id. Capitals, digits and : . / -
 * space only, where the tag allows, since a QR code holds those in two thirds of the room (ISO/IEC 18004 alphanumeric).
 */
export function codeOf(lot: { id: string; tag?: string }): string {
  return `${START}${(lot.tag ?? '').toUpperCase()}:${lot.id.slice(0, ID_DIGITS).toUpperCase()}`;
}

/** The tag in a scanned or typed code: of our own codes the part that people read, of any other the whole text. */
export function tagIn(code: string): string {
  const own = ownCode(code);
  return own ? own.tag : tidyTag(code);
}

/**
 * The lots that a code means: by its id where it has one, since a tag may have been rewritten; else by the tag as it is
 * written; else by its letters and digits alone, so that "az977" finds AZ-977.
 */
export function lotsOf(code: string, lots: readonly Plain<Lot>[]): Plain<Lot>[] {
  const own = ownCode(code);
  const byId = own ? lots.filter((lot) => lot.id.startsWith(own.id)) : [];
  if (byId.length > 0) return byId;
  const tag = tagIn(code).toLowerCase();
  const tagged = (as: (text: string) => string) =>
    as(tag) === '' ? [] : lots.filter((lot) => lot.tag !== undefined && as(tidyTag(lot.tag).toLowerCase()) === as(tag));
  const exact = tagged((text) => text);
  return exact.length > 0 ? exact : tagged((text) => text.replace(/[ ._/-]/g, ''));
}

function ownCode(code: string): { tag: string; id: string } | undefined {
  const match = /^LOT:(.*):([0-9A-F]{8})$/i.exec(code.trim());
  return match ? { tag: tidyTag(match[1] ?? ''), id: (match[2] ?? '').toLowerCase() } : undefined;
}
