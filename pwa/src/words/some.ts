/** Counts with commas between them, without those of which there are none. */
export function some(...counts: readonly (readonly [write: (count: number) => string, count: number])[]): string {
  return counts.flatMap(([write, count]) => (count > 0 ? [write(count)] : [])).join(', ');
}
