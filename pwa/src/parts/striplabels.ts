/** Where the names of a bed's lots stand under its strip: never one over another, however the lots overlap. */

export interface Named {
  key: string;
  label: string;
  /** Where the lot begins and ends, px from the strip's left edge. */
  start: number;
  end: number;
}

export interface Label {
  key: string;
  text: string;
  x: number;
  /** 0 right under the strip, 1 below that. */
  line: number;
  /** How far it may reach, px; no other label of its line begins before. */
  room: number;
}

interface Ends {
  entry: string;
  far: string;
}

const INSET = 3;
const GAP = 8;
/** Fewer letters say nothing. */
const LEAST = 3;

/**
 * A name stands where its lot begins and is cut with an ellipsis at the lot's end. One that would stand over another goes to the
 * second line; where that is taken too, the name before it is cut.
 * @param perLetter about how wide a letter is, px
 */
export function labelsOf(lots: readonly Named[], ends: Ends, width: number, perLetter: number): Label[] {
  const widthOf = (text: string) => text.length * perLetter;
  const cut = (text: string, room: number) => {
    const letters = Math.floor(room / perLetter);
    if (letters >= text.length) return text;
    return letters < LEAST ? '' : `${text.slice(0, letters - 1).trimEnd()}…`;
  };
  const limits = [ends.far ? width - widthOf(ends.far) - GAP - INSET : width, width];
  const labels: Label[] = [];
  const lastOf = (line: number) => labels.findLast((label) => label.line === line);
  const reach = (line: number) => {
    const last = lastOf(line);
    return last ? last.x + widthOf(last.text) + GAP : 0;
  };
  const sorted = lots.toSorted((a, b) => a.start - b.start);
  const isApart = (sorted[0]?.start ?? 0) > widthOf(ends.entry) + INSET + GAP;
  if (ends.entry && (isApart || sorted.length === 0)) {
    labels.push({ key: 'entry', text: ends.entry, x: 1 + INSET, line: 0, room: widthOf(ends.entry) + GAP });
  }
  for (const { key, label, start, end } of sorted) {
    const isFirst = key === sorted[0]?.key && !isApart;
    const full = isFirst && ends.entry ? `${ends.entry} · ${label}` : label;
    const x = start + INSET;
    const isFree = (line: number) => x >= reach(line);
    const line = isFree(0) ? 0 : 1;
    // Below, nothing else says where the lot ends, and a short lot may have a long name.
    const room = (line === 0 ? Math.min(end, limits[0] ?? width) : width) - x - (end >= width - 2 ? 0 : INSET);
    const text = cut(full, room);
    if (text === '') continue;
    const before = lastOf(line);
    if (before) {
      const left = x - before.x - GAP;
      const shorter = cut(before.text, left);
      if (shorter === '') continue;
      Object.assign(before, { text: shorter, room: Math.min(before.room, left) });
    }
    labels.push({ key, text, x, line, room });
  }
  return labels;
}
