/** How beds, people and findings are named in sentences. */
import type { BedBrief, Finding, NamesView, Person, SpanView } from '../../../../schema/types';
import { beds, people } from '../../journal/records/registers';
import { appWords } from '../../words';
import { supervisorWords } from '../../words/supervisor';
import { ago, length, number } from '../../words/format';
import { describeFinding } from '../../words/briefing';
import { lotLine } from '../../words/names';
import { sideNames } from '../../words/place';
import { useOnce } from '../../views/views';

export function bedName(name: string): string {
  return supervisorWords.value.pages.bedName(name);
}

/** Names beds by their ids, once their names are there; until then they have none. */
export function useBedNames(): (bed: string) => string {
  const view = useOnce<NamesView>('names');
  const words = supervisorWords.value.pages;
  const names = new Map(
    view?.beds.map(({ id, name, house }) => [id, words.bedInHouse(bedName(name), words.houseName(house))]),
  );
  return (bed) => names.get(bed) ?? '';
}

/** Everybody who works here now, by name. */
export function peopleHere(): { id: string; name: string; role: Person['role'] }[] {
  return [...people.value.values()]
    .filter(({ left }) => left !== true)
    .map(({ id, name, role }) => ({ id, role, name: name ?? appWords.value.common.unknown }))
    .sort((a, b) => a.name.localeCompare(b.name));
}

export function traitName(trait: string | undefined): string {
  if (trait === 'head') return appWords.value.common.head;
  if (trait === 'buds') return appWords.value.common.buds;
  return '';
}

/** Writes a size of a trait: heads come in millimetres, buds as counts. */
export function size(trait: string | undefined, value: number): string {
  return trait === 'buds' ? number(value) : length(value);
}

interface Where {
  id: string;
  spans: readonly SpanView[];
  entry_end: string;
  far_end: string;
}

/** A finding as a sentence, with the names that its bed gives. */
export function sentence(finding: Finding, where: Where): string {
  const span = where.spans.find((each) => each.lot === finding.lot);
  return describeFinding(finding, {
    lot: span ? lotLine(span) : '',
    entryEnd: where.entry_end || appWords.value.common.strip.entry,
    farEnd: where.far_end,
    ...sideNames(beds.value.get(where.id)),
    size: (value) => size(finding.trait, value),
  });
}

/** True while an entry interval keeps everybody out of a bed. */
export function isClosed(bed: BedBrief): boolean {
  return bed.closed_until > Date.now();
}

/** As on phones: a bed that is closed is not due, for nobody may be sent there. */
export function isDue(bed: BedBrief): boolean {
  return bed.due !== '' && !isClosed(bed);
}

/** When a bed was last walked, in words, or how far its last walk came; "" where nobody has walked it, or where the walk under way is the only one. */
export function lastWalked(bed: BedBrief): string {
  if (bed.last_walk_at === 0 || bed.last_walk === bed.under_way?.walk) return '';
  const when = ago(bed.last_walk_at);
  const { unfinished } = bed;
  if (!unfinished) return supervisorWords.value.pages.overview.walked(when);
  return appWords.value.scout.why.part(unfinished.seen, unfinished.about, when);
}

/** Why a bed is due, in words; "" when it is not. */
export function whyDue(bed: BedBrief): string {
  if (!isDue(bed)) return '';
  const { why, inPart } = supervisorWords.value.pages.overview;
  if (bed.due === 'days') return [why.days(bed.due_days), bed.unfinished ? inPart : ''].filter(Boolean).join(', ');
  if (bed.due === 'never' && bed.unfinished) return why.begun;
  if (bed.due === 'never' || bed.due === 'chlorosis' || bed.due === 'roots') return why[bed.due];
  return '';
}
