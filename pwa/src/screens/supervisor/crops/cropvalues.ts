/** The values that a crop is judged by: how each is typed and said, and what is wrong with what was typed. */
import { defaultJudged } from '../../../../../schema/kinds';
import { AIM_BP } from '../../../journal/records/input';
import type { Judged, Profile } from '../../../../../schema/types';
import { appWords } from '../../../words';
import { percent, points } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { amount, shownAmount, wayOf, withSign, type Answer, type Measure } from '../../../forms/typed';

export type ValueName = Exclude<keyof Judged, 'grades'> | 'uniformity_aim_bp';

/** What Bedwalk starts with: common practice, no source. */
export const startsWith: Readonly<Record<ValueName, number>> = { ...defaultJudged, uniformity_aim_bp: AIM_BP };

/** In the order in which they are asked. */
export const groups = [
  { name: 'even', values: ['head_tolerance_bp', 'bud_tolerance_bp', 'uniformity_aim_bp'] },
  { name: 'walks', values: ['walk_every_days', 'min_pots', 'max_pots', 'width_bp', 'expected_cv_bp'] },
  { name: 'trouble', values: ['trouble_ok_bp', 'trouble_bad_bp', 'risk_false_bp', 'risk_miss_bp'] },
  { name: 'ship', values: ['graded_from_weeks', 'promise_min', 'expected_loss_bp', 'sharing_sd_milli'] },
] as const satisfies readonly { name: string; values: readonly ValueName[] }[];

export const valueNames: readonly ValueName[] = groups.flatMap((group): readonly ValueName[] => group.values);

/** Whole numbers of pots, days or weeks. */
const counts: readonly ValueName[] = ['walk_every_days', 'min_pots', 'max_pots', 'promise_min', 'graded_from_weeks'];

export function measureOf(name: ValueName): Measure {
  if (counts.includes(name)) return 'count';
  if (name === 'sharing_sd_milli') return 'logit';
  return name === 'width_bp' ? 'points' : 'percent';
}

export function isTolerance(name: ValueName): boolean {
  return name === 'head_tolerance_bp' || name === 'bud_tolerance_bp';
}

/** What stands behind the field in which a value is typed. */
export function signOf(name: ValueName): string {
  return name === 'width_bp' ? supervisorWords.value.crops.pointsSign : wayOf(measureOf(name)).sign;
}

/** A value as it is typed; empty where there is none. */
export function textOf(name: ValueName, value: number | null | undefined): string {
  return shownAmount(value, measureOf(name));
}

/** What a half of the pots in grade becomes in two seasons of three, if its logit moves by a standard deviation: the lower and the upper share. */
export function halfBecomes(sd: number): [low: string, high: string] {
  const share = (logit: number) => 1 / (1 + Math.exp(-logit));
  return [points(share(-sd)), percent(share(sd))];
}

/** A value in words: "± 10 %", "7 days", "20 points". */
export function saidValue(name: ValueName, value: number): string {
  const words = supervisorWords.value.crops;
  if (name === 'walk_every_days') return appWords.value.common.days(value);
  if (name === 'graded_from_weeks') return words.weeks(value);
  if (name === 'min_pots' || name === 'max_pots' || name === 'promise_min') return appWords.value.common.pots(value);
  if (name === 'width_bp') return words.points(textOf(name, value));
  if (name === 'sharing_sd_milli') return words.seasons(textOf(name, value), ...halfBecomes(value / 1000));
  const said = withSign(value, 'percent');
  return isTolerance(name) ? words.plusMinus(said) : said;
}

export type Answers = Record<ValueName, Answer<number>>;

/**
 * Reads every value as it was typed, or as it is where nobody typed, and holds those that limit each other together as
 * they will be in force: one left empty is the one that Bedwalk starts with.
 */
export function readValues(typed: ReadonlyMap<string, string>, own: Partial<Profile>): Answers {
  const answers = Object.fromEntries(valueNames.map((name) => [name, readOne(name, typed.get(name), own[name])]));
  const read = answers as unknown as Answers;
  const words = supervisorWords.value.crops;
  const hold = (low: ValueName, high: ValueName, strictly: boolean, at: (name: ValueName) => Told) => {
    if (read[low].problem !== undefined || read[high].problem !== undefined) return;
    const [least, most] = [inForce(read, low), inForce(read, high)];
    if (strictly ? least < most : least <= most) return;
    // It is said where somebody typed, not at a field that nobody touched.
    const [name, other] = typed.has(high) || !typed.has(low) ? [high, low] : [low, high];
    read[name] = { problem: at(name)(words.field[name], words.field[other], saidValue(other, inForce(read, other))) };
  };
  hold('min_pots', 'max_pots', false, (name) => (name === 'max_pots' ? words.maxBelow : words.minAbove));
  hold('trouble_ok_bp', 'trouble_bad_bp', true, (name) => (name === 'trouble_bad_bp' ? words.badBelow : words.okAbove));
  return read;
}

type Told = (name: string, other: string, limit: string) => string;

function readOne(name: ValueName, text: string | undefined, own: number | null | undefined): Answer<number> {
  if (text === undefined) return own === undefined || own === null ? {} : { value: own };
  return amount(text, {
    kind: 'profile',
    field: name,
    name: supervisorWords.value.crops.field[name],
    measure: measureOf(name),
  });
}

function inForce(read: Answers, name: ValueName): number {
  return read[name].value ?? startsWith[name];
}
