/** How things are called on the scout's screens. */
import type { Observation } from '../../../../schema/types';
import { beds, houses, lots } from '../../journal/things';
import { show, type Unit } from '../../../../sync/unit/unit';
import { t, units } from '../../words';
import { locale } from '../../words/format';

export function nameOfBed(id: string): string {
  const bed = beds.value.get(id);
  if (!bed) return t.value.common.unknown;
  return t.value.scout.bedName(houses.value.get(bed.house ?? '')?.name ?? '', bed.name ?? '');
}

export function nameOfLot(id: string): string {
  const lot = lots.value.get(id);
  return t.value.scout.bed.lotLine(lot?.tag ?? '', lot?.cultivar ?? '') || t.value.common.unknown;
}

/** The unit that lengths are typed and shown in. */
export function lengthUnit(): Unit {
  return units.value.length;
}

/** A length as it is typed: "31.5", "31"; always with a point, since the keypad has one. */
export function typedLength(mm: number | undefined): string {
  if (mm === undefined) return '';
  return show(mm, lengthUnit(), '.').replace(/\.0$/, '');
}

/** A typed text as it is shown, with the language's own decimal mark. */
export function shownTyped(text: string): string {
  return text.includes('.') ? text.replace('.', decimalMark()) : text;
}

/** By locale: a card asks for it several times a tap, and each asking makes a formatter. */
const marks = new Map<string, string>();

function decimalMark(): string {
  const known = marks.get(locale());
  if (known !== undefined) return known;
  const parts = new Intl.NumberFormat(locale()).formatToParts(1.5);
  const mark = parts.find((part) => part.type === 'decimal')?.value ?? '.';
  marks.set(locale(), mark);
  return mark;
}

/** What a pot showed, in one line for a list or a screen reader. */
export function summary(now: Observation): string {
  const words = t.value.scout.walk;
  const parts = (['head', 'buds', 'roots', 'leaves'] as const).flatMap((trait) => {
    const value = answer(now, trait);
    return value === undefined ? [] : [words.answered(words[trait], value)];
  });
  return parts.length > 0 ? parts.join(', ') : t.value.common.notLookedAt;
}

export type Trait = 'head' | 'buds' | 'roots' | 'leaves';
export const traits: readonly Trait[] = ['head', 'buds', 'roots', 'leaves'];

/** A trait's answer in as few letters as a tab has room for; undefined while it was not looked at. */
export function answer(now: Observation, trait: Trait): string | undefined {
  switch (trait) {
    case 'head': {
      const sizes = [now.head_a_mm, now.head_b_mm].filter((mm) => mm !== undefined);
      return sizes.length > 0 ? sizes.map((mm) => shownTyped(typedLength(mm))).join(' × ') : undefined;
    }
    case 'buds':
      return now.buds === undefined ? undefined : String(now.buds);
    case 'roots': {
      if (now.root_cover === undefined && now.root_life === undefined) return undefined;
      return `${now.root_cover ?? '–'} · ${now.root_life ?? '–'}`;
    }
    case 'leaves': {
      if (now.chlorosis === undefined) return undefined;
      const short = t.value.scout.walk.whichShort[now.chlorosis];
      return now.severity ? `${short} ${now.severity}` : short;
    }
  }
}
