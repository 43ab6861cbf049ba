/** Where values stand on an axis. */

export interface Scale {
  (value: number): number;
  ticks: number[];
  /** Digits after the point that tell the ticks apart. */
  digits: number;
}

/** A straight axis from a to b px for values from low to high, widened to round ticks, at most `most` steps apart. */
export function scaleOf(low: number, high: number, a: number, b: number, most = 6): Scale {
  const wide = high > low ? high - low : Math.max(1, Math.abs(high));
  const step = stepOf(wide / most);
  const first = Math.floor(low / step) * step;
  const last = Math.max(first + step, Math.ceil(high / step) * step);
  const scale = (value: number) => a + ((value - first) / (last - first)) * (b - a);
  const count = Math.round((last - first) / step);
  const ticks = Array.from({ length: count + 1 }, (_, i) => first + i * step);
  return Object.assign(scale, { ticks, digits: Math.max(0, -Math.floor(Math.log10(step) + 1e-9)) });
}

/** The next step of 1, 2 or 5 times a power of ten that is not under the wanted one. */
function stepOf(wanted: number): number {
  const power = 10 ** Math.floor(Math.log10(wanted));
  const step = [1, 2, 5, 10].find((times) => times * power >= wanted * (1 - 1e-9)) ?? 10;
  return step * power;
}

/** How high each of the values stands when dots of the given size may not overlap: 0 on the axis, 1 on another, ... */
export function stacked(positions: readonly number[], size: number): number[] {
  const levels = Array.from({ length: positions.length }, () => 0);
  const order = positions.map((_, i) => i).sort((i, j) => (positions[i] ?? 0) - (positions[j] ?? 0) || i - j);
  const lastAt: number[] = [];
  for (const i of order) {
    const at = positions[i] ?? 0;
    let level = lastAt.findIndex((last) => at - last >= size);
    if (level < 0) level = lastAt.length;
    lastAt[level] = at;
    levels[i] = level;
  }
  return levels;
}
