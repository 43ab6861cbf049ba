/** What a pot showed, in words: as short as a tab, in a line, or all of it. */
import type { Observation } from '../../../schema/types';
import { placeOf } from './place';
import { walkWords } from './rooms';
import { show, type Unit } from '../../../sync/unit/unit';
import { appWords, units } from '.';
import { length, locale } from './format';

/** The unit that lengths are typed and shown in. */
function lengthUnit(): Unit {
  return units.value.length;
}

/** Millimetres. */
export const QUARTER_INCH = 6.35;

/** A whole number of quarter inches as it was before it was rounded to millimetres: twelve inches must stay twelve. */
export function inQuarters(mm: number): number {
  const exact = Math.round(mm / QUARTER_INCH) * QUARTER_INCH;
  return Math.abs(exact - mm) <= 0.5 ? exact : mm;
}

/** A length as it is typed: "31.5", "31", "12.25" inches; always with a point, since the keypad has one. */
export function typedLength(mm: number | undefined): string {
  if (mm === undefined) return '';
  const exact = inQuarters(mm);
  if (lengthUnit() === 'in' && exact !== mm) return String(Math.round(exact / QUARTER_INCH) / 4);
  return show(mm, lengthUnit(), '.').replace(/\.0$/, '');
}

/** A typed text as it is shown, with the language's own decimal mark. */
export function shownTyped(text: string): string {
  return text.includes('.') ? text.replace('.', decimalMark()) : text;
}

/** Why a number that was typed is not kept. @param value what was read from the text; not a number where nothing was */
export function refusal(
  text: string,
  value: number,
  { min, max }: { min: number; max: number },
  show: (value: number) => string,
): string {
  const { notNumber, tooLarge, tooSmall } = walkWords.value;
  const reason = Number.isNaN(value) ? notNumber : value > max ? tooLarge : tooSmall;
  return reason(text, show(min), show(max));
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
  const words = walkWords.value;
  const parts = (['head', 'buds', 'roots', 'leaves'] as const).flatMap((trait) => {
    const value = answerWhole(now, trait);
    return value === undefined ? [] : [words.answered(words[trait], value)];
  });
  return parts.length > 0 ? parts.join(', ') : appWords.value.common.notLookedAt;
}

export type Trait = 'head' | 'buds' | 'roots' | 'leaves';
export const traits: readonly Trait[] = ['head', 'buds', 'roots', 'leaves'];

/** A trait's answer in as few letters as a tab has room for; undefined while it was not looked at. */
export function answer(now: Observation, trait: Trait): string | undefined {
  switch (trait) {
    case 'head': {
      const [first, second] = [now.head_a_mm, now.head_b_mm].map((mm) => shownTyped(typedLength(mm)) || undefined);
      return second === undefined ? first : `${first ?? '–'} × ${second}`;
    }
    case 'buds':
      return now.buds === undefined ? undefined : String(now.buds);
    case 'roots': {
      if (now.root_cover === undefined && now.root_life === undefined) return undefined;
      return `${now.root_cover ?? '–'} · ${now.root_life ?? '–'}`;
    }
    case 'leaves': {
      if (now.chlorosis === undefined) return undefined;
      const short = walkWords.value.whichShort[now.chlorosis];
      return now.severity ? `${short} ${now.severity}` : short;
    }
  }
}

/** The answer with what a tab has no room for: bare tips, what the scratch showed, and how pale in a word. */
export function answerWhole(now: Observation, trait: Trait): string | undefined {
  const short = answer(now, trait);
  const words = walkWords.value;
  if (trait === 'buds' && now.tips_bare !== undefined) return `${short ?? '–'} · ${words.bareCount(now.tips_bare)}`;
  if (trait === 'leaves' && now.chlorosis && now.severity)
    return `${words.whichShort[now.chlorosis]}, ${words.severityNames[now.severity] ?? now.severity}`;
  if (trait === 'roots' && now.scratch) return `${short ?? '– · –'} · ${words.scratchShort[now.scratch]}`;
  return short;
}

/** All that was answered about a pot, as the questions are called. */
export function everything(now: Observation): string {
  const words = walkWords.value;
  const counts: [string, number | undefined][] = [
    [words.bare, now.tips_bare],
    [words.budStates.tight, now.buds_tight],
    [words.budStates.colour, now.buds_colour],
    [words.budStates.candle, now.buds_candle],
    [words.budStates.open, now.buds_open],
    [words.bypass, now.bypass],
  ];
  const flags: [string, boolean | undefined][] = [
    [words.softFlush, now.soft_flush],
    [words.lowerBrown, now.lower_brown],
    [words.disease, now.disease],
  ];
  return [
    summary(now),
    ...(now.height_mm === undefined ? [] : [words.answered(words.height, length(now.height_mm))]),
    ...counts.flatMap(([name, count]) => (count === undefined ? [] : [words.answered(name, String(count))])),
    ...flags.flatMap(([name, is]) => (is ? [name] : [])),
    ...(now.words ? [now.words] : []),
  ].join('; ');
}

/** Where the pot stood and all that it showed. */
export function describeObservation(now: Observation): string {
  return `${placeOf(now)}, ${everything(now)}`;
}
