/** What the Beds page shows, as its address keeps it. */
import type { AttentionView, BedBrief, BedView, PlanView, SupplyView } from '../../../../../schema/types';
import { cropKey } from '../../../../../sync/bed/crop';
import { stageNames, type StageName } from '../crops/stages';
import { route } from '../../../router';
import { isDue } from '../names';
import { findingGroups, groupOf, type FindingGroup } from './attentionWords';

const views = ['plan', 'table', 'weeks'] as const;
export type ViewOf = (typeof views)[number];
const shows = ['', 'due', 'step', 'walking'] as const;
export type Show = (typeof shows)[number];

export interface Place {
  view: ViewOf;
  house: string;
  crop: string;
  week: string;
  stage: StageName | '';
  finding: FindingGroup;
  show: Show;
  /** The house that is open where houses are folded. */
  open: string;
  /** On a phone the plan of beds has a page of its own, beside what needs a supervisor. */
  part: '' | 'plan';
  /** All of the list rather than its first rows. */
  all: boolean;
}

export const anywhere: Place = {
  view: 'plan',
  house: '',
  crop: '',
  week: '',
  stage: '',
  finding: '',
  show: '',
  open: '',
  part: '',
  all: false,
};

function among<T extends string>(value: string | null, known: readonly T[], otherwise: T): T {
  return known.find((each) => each === value) ?? otherwise;
}

export function placeOf(query: URLSearchParams): Place {
  return {
    view: among(query.get('view'), views, 'plan'),
    house: query.get('house') ?? '',
    crop: query.get('crop') ?? '',
    week: query.get('week') ?? '',
    stage: among(query.get('stage'), ['', ...stageNames], ''),
    finding: among<FindingGroup>(query.get('finding'), findingGroups, ''),
    show: among(query.get('show'), shows, ''),
    open: query.get('open') ?? '',
    part: among(query.get('part'), ['', 'plan'], ''),
    all: query.get('all') === '1',
  };
}

/** The address of the page at a place; what is as on the plain page is left out of it. */
export function addressOf(place: Place): string {
  const query = new URLSearchParams();
  for (const name of ['house', 'crop', 'week', 'stage', 'finding', 'show', 'open', 'part'] as const) {
    if (place[name] !== '') query.set(name, place[name]);
  }
  if (place.view !== 'plan') query.set('view', place.view);
  if (place.all) query.set('all', '1');
  const text = query.toString();
  return text === '' ? '/beds' : `/beds?${text}`;
}

/** The address of a bed that keeps the list's place: the way back leads there, and the beds before and after are of its filter. */
export function toBed(bed: string, place: Place = placeOf(route.value.query)): string {
  return `/beds/${bed}${addressOf(place).slice('/beds'.length)}`;
}

/** This page with other values in its address; null leaves one out. */
export function hereWith(values: { [name: string]: string | null }): string {
  const { path, query } = route.value;
  const next = new URLSearchParams(query);
  for (const [name, value] of Object.entries(values)) {
    if (value) next.set(name, value);
    else next.delete(name);
  }
  const text = next.toString();
  return text === '' ? path : `${path}?${text}`;
}

/** This page with another walk of its bed. The one that lies beside it changes places: a walk beside itself would show differences of 0 with intervals. */
export function toWalk(view: BedView, pinned: BedView | undefined, walk: string): string {
  const changesPlaces = pinned?.bed.id === view.bed.id && pinned.walk === walk;
  return hereWith(changesPlaces ? { walk, pinwalk: view.walk } : { walk });
}

/** The ship weeks of each bed, by the lots that stand on it now. */
export function weeksOfBeds(beds: readonly BedBrief[], supply: SupplyView | undefined): ReadonlyMap<string, string[]> {
  const byLot = new Map(supply?.weeks.flatMap(({ week, lots }) => lots.map(({ lot }) => [lot, week] as const)));
  return new Map(
    beds.map((bed) => {
      const weeks = bed.spans.flatMap(({ lot }) => byLot.get(lot) ?? []);
      return [bed.id, [...new Set(weeks)].sort()];
    }),
  );
}

/** The stages that the lots on each bed are in: those that end with their next step. Empty while the plan is not here. */
export function stagesOfBeds(beds: readonly BedBrief[], plan: PlanView | undefined): ReadonlyMap<string, string[]> {
  const byLot = new Map(plan?.lots.map(({ lot, plan: { steps, next } }) => [lot, steps[next]?.stage ?? '']));
  return new Map(beds.map((bed) => [bed.id, bed.spans.flatMap(({ lot }) => byLot.get(lot) ?? [])]));
}

/** What is known of beds besides what their own data say. */
interface Known {
  weeks: ReadonlyMap<string, readonly string[]>;
  stages: ReadonlyMap<string, readonly string[]>;
  /** What the attention list has of them. */
  groups: ReadonlyMap<string, ReadonlySet<FindingGroup>>;
}

/** Whether what a place shows depends on the attention list. */
export function asksAttention({ finding, show }: Place): boolean {
  return finding !== '' || show === 'step';
}

/** Whether a bed is among those that the place asks for. */
export function fits(bed: BedBrief, place: Place, known: Known): boolean {
  const groups = known.groups.get(bed.id) ?? new Set();
  if (place.house !== '' && bed.house !== place.house) return false;
  if (place.crop !== '' && !bed.spans.some((span) => cropKey(span.crop) === place.crop)) return false;
  if (place.week !== '' && !known.weeks.get(bed.id)?.includes(place.week)) return false;
  if (place.stage !== '' && !known.stages.get(bed.id)?.includes(place.stage)) return false;
  if (place.finding !== '' && !groups.has(place.finding)) return false;
  if (place.show === 'due') return isDue(bed);
  if (place.show === 'walking') return bed.under_way !== undefined;
  return place.show === 'step' ? groups.size > 0 : true;
}

/** How many the list shows before "all" is asked for. */
export const FIRST = 8;

/** Each bed's place in the list, the highest of its rows that are shown, and what the whole list has of it. */
export function marksOf(items: AttentionView['items'], showsAll: boolean) {
  const ranks = new Map<string, number>();
  const groups = new Map<string, Set<FindingGroup>>();
  for (const [index, { beds, code }] of items.entries()) {
    for (const { bed } of beds) {
      if (!ranks.has(bed) && (showsAll || index < FIRST)) ranks.set(bed, index + 1);
      groups.set(bed, new Set([...(groups.get(bed) ?? []), groupOf(code)]));
    }
  }
  return { ranks, groups };
}
