/** What the keypad's keys, a keyboard or a caliper that types do to the text of a number. */

export type Key = '0' | '1' | '2' | '3' | '4' | '5' | '6' | '7' | '8' | '9' | '.' | 'erase' | 'clear';

export interface Room {
  /** Digits before and after the point that make sense for what is measured. */
  whole: number;
  decimals: number;
}

/** The text after the key; unchanged where the key makes no number. Text always has a point, whatever the language. */
export function press(text: string, key: Key, room: Room): string {
  const [whole = '', part] = text.split('.');
  switch (key) {
    case 'clear':
      return '';
    case 'erase':
      return text.slice(0, -1);
    case '.':
      return room.decimals > 0 && part === undefined ? `${whole === '' ? '0' : whole}.` : text;
    default:
      if (part !== undefined) return part.length < room.decimals ? text + key : text;
      if (whole === '0') return key;
      return whole.length < room.whole ? whole + key : text;
  }
}

/** The keypad's key for a key of a real keyboard, if it has one. */
export function keyOf(pressed: string): Key | undefined {
  if (/^[0-9]$/.test(pressed)) return pressed as Key;
  if (pressed === '.' || pressed === ',') return '.';
  if (pressed === 'Backspace') return 'erase';
  if (pressed === 'Delete') return 'clear';
  return undefined;
}

/** The number that the text stands for. */
export function valueOf(text: string): number | undefined {
  return /\d/.test(text) ? Number(text) : undefined;
}
