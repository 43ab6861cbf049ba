/** What the records and the pots themselves say about a field in which people disagree. */
import type { Event, LotView } from '../../../../../schema/types';
import { knownLots } from '../../../forms/place';
import { dayOf, daysBetween } from '../../../forms/days';
import { appWords } from '../../../words';
import { word } from '../../../words/entry';
import { day, list } from '../../../words/format';
import { lotLine } from '../../../words/names';
import { supervisorWords } from '../../../words/supervisor';

/** The work and the counts that a day of a lot goes with. */
const witnesses: { [field: string]: { events: readonly string[]; reasons: readonly string[] } | undefined } = {
  struck_on: { events: ['stuck'], reasons: ['struck'] },
  potted_on: { events: ['potted'], reasons: ['potted'] },
  shipped_on: { events: ['shipped'], reasons: ['shipped'] },
};

/**
 * Sentences, the strongest first; where to look comes last.
 * @param values what people wrote, the shown one first
 */
export function whatDecides(view: LotView, field: string, values: readonly unknown[]): string[] {
  const words = supervisorWords.value.lot.decides;
  const said = [...ofOthers(view, field, values), ...noted(view, field), ...rooted(view, field, values)];
  const look: { [field: string]: string | undefined } = words.look;
  return [...said, ...(look[field] ? [look[field]] : [])];
}

/** The lot that it came from has the same cultivar and crop; two lots of one tag are seldom meant. */
function ofOthers({ lot, parent, cuttings }: LotView, field: string, values: readonly unknown[]): string[] {
  const words = supervisorWords.value.lot.decides;
  const from = parent ?? cuttings?.mother;
  if (from && (field === 'cultivar' || field === 'crop') && from[field] !== '')
    return [words.parent(lotLine(from), from[field])];
  if (field !== 'tag') return [];
  const same = knownLots().filter((one) => one.id !== lot.id && values.includes(one.tag));
  return same.map((one) => words.sameTag(one.tag ?? '', lotLine(one)));
}

/** Work and counts that were noted of the lot and are not struck out. */
function noted(view: LotView, field: string): string[] {
  const words = supervisorWords.value.lot.decides;
  const asked = witnesses[field];
  if (!asked) return [];
  const name = (person: string) => view.people[person] ?? appWords.value.common.unknown;
  const work = view.facts.flatMap(({ fact }) => {
    if (!fact || fact.voided || fact.kind !== 'event') return [];
    const { what, on } = fact.body as Event;
    return asked.events.includes(what)
      ? [words.work(word(supervisorWords.value.lot.event, what), day(on), name(fact.by.person))]
      : [];
  });
  const counts = (view.stock.stock?.lines ?? []).flatMap(({ reason, voided, by }) =>
    asked.reasons.includes(reason) && !voided
      ? [words.count(word(supervisorWords.value.lot.reason, reason), day(dayOf(by.stamp.at)), name(by.person))]
      : [],
  );
  return [...new Set([...work, ...counts])];
}

/** How long after each day the first cuttings were looked at. */
function rooted(view: LotView, field: string, values: readonly unknown[]): string[] {
  const first = view.rooting?.trays.at(-1)?.on;
  if (field !== 'struck_on' || first === undefined) return [];
  const after = values.flatMap((value) => {
    if (typeof value !== 'string') return [];
    return [{ on: value, days: daysBetween(value, first) }];
  });
  const words = supervisorWords.value.lot.decides;
  return [words.rooting(day(first), list(after.map(({ on, days }) => words.after(days, day(on)))))];
}
