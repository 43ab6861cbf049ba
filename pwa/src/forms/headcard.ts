/** The card that is laid on a head to be measured in a photo: what stands in its code, and how long its printed bar came out. */

/** Side of the code's black square in mm, as it is meant to be printed. */
export const CARD_MM = 45;
/** The printed bar, which shows whether the printer kept the size. */
export const BAR_MM = 100;
/** What a bar may measure: a printer that fits a page to its paper makes it 3 to 6 % smaller. */
export const BAR_LIMITS = { min: 80, max: 120 } as const;

export interface HeadCard {
  /** Side of the black square in mm as its text has it. */
  mm: number;
  /** Which printing it is of: four of 0-9 and A-F. */
  print: string;
}

/** "CARD:45:7F3A": letters and digits that a code of 21 modules holds at a quarter of it lost (ISO/IEC 18004, 1-Q). */
export function cardCode({ mm, print }: HeadCard): string {
  return `CARD:${mm}:${print}`;
}

export function cardIn(code: string): HeadCard | undefined {
  const match = /^CARD:([1-9]\d{1,2}):([0-9A-F]{4})$/.exec(code.trim());
  const mm = Number(match?.[1]);
  return match && mm >= 10 && mm <= 200 ? { mm, print: match[2] ?? '' } : undefined;
}

const SLOT = 'bedwalk-card-bar-';

/** How long the bar of this printing was measured to be, in mm, on this device; undefined where nobody has. */
export function barOf({ print }: HeadCard): number | undefined {
  try {
    const kept = Number(localStorage.getItem(SLOT + print) ?? Number.NaN);
    return kept >= BAR_LIMITS.min && kept <= BAR_LIMITS.max ? kept : undefined;
  } catch {
    return undefined;
  }
}

/** @param bar undefined forgets it */
export function keepBar({ print }: HeadCard, bar: number | undefined): void {
  try {
    if (bar === undefined) localStorage.removeItem(SLOT + print);
    else localStorage.setItem(SLOT + print, String(bar));
  } catch {
    // A device too full for this still measures; it asks for the bar at each photo.
  }
}
