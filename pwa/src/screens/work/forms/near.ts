/** Names that are almost the same, as of one crop that two people write in two ways. */

/** The first name that is written nearly like this one: alike but for capitals, accents and marks, or one letter off. */
export function nearly(typed: string, names: readonly string[]): string | undefined {
  const text = typed.trim();
  const bare = letters(text);
  if (bare === '' || names.includes(text)) return undefined;
  const near = (name: string) => letters(name) === bare || (bare.length >= SHORTEST && isOneOff(bare, letters(name)));
  return names.find(near);
}

/** Below this, one letter makes another word. */
const SHORTEST = 5;

function letters(text: string): string {
  return text
    .normalize('NFD')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]/gu, '');
}

/** True when one letter is added, left out or changed, or two neighbours are turned round. */
function isOneOff(a: string, b: string): boolean {
  const shorter = Math.min(a.length, b.length);
  let start = 0;
  while (start < shorter && a[start] === b[start]) start++;
  let end = 0;
  while (end < shorter - start && a.at(-1 - end) === b.at(-1 - end)) end++;
  const [left, right] = [a.slice(start, a.length - end), b.slice(start, b.length - end)];
  if (left.length <= 1 && right.length <= 1) return true;
  return left.length === 2 && right.length === 2 && left[0] === right[1] && left[1] === right[0];
}
