/** What stands on a bed, and by what it is judged, out of the records on the phone. */
import { computed } from '@preact/signals-core';
import { defaultJudged } from '../../../../schema/kinds';
import type { Cultivar, House, Judged, Observation, Profile, Span } from '../../../../schema/types';
import { cropKey } from '../../../../sync/bed/crop';
import { judgedFrom } from '../../../../sync/bed/judged';
import { cultivars, houses, profiles, spans, type Plain } from './registers';

/** The stretches of a bed that a lot stands on now, from the entry end on. */
export function spansOf(bed: string): Plain<Span>[] {
  return everySpanOf(bed).filter((span) => span.ended !== true);
}

export function everySpanOf(bed: string): readonly Plain<Span>[] {
  return spansByBed.value.get(bed) ?? [];
}

/** Gone over once: a list of all beds asks for those of each. */
const spansByBed = computed(() => {
  const byBed = new Map<string, Plain<Span>[]>();
  for (const span of spans.value.values()) {
    if (span.bed === undefined || span.lot === undefined) continue;
    const before = byBed.get(span.bed);
    if (before) before.push(span);
    else byBed.set(span.bed, [span]);
  }
  for (const all of byBed.values()) all.sort((a, b) => (a.from_row ?? 0) - (b.from_row ?? 0) || (a.id < b.id ? -1 : 1));
  return byBed;
});

/** The houses that are used as coolers. */
export function coolers(): Plain<House>[] {
  return [...houses.value.values()].filter(({ use }) => use === 'cooler');
}

/** Of records of one thing that were begun apart the one with the highest id counts, here as at the server. */
function highest<T extends { id: string }>(all: readonly T[]): T | undefined {
  return all.reduce<T | undefined>((best, each) => (best && best.id > each.id ? best : each), undefined);
}

/** The profile of a crop. */
export function profileOf(crop: string | undefined): Plain<Profile> | undefined {
  if (crop === undefined) return undefined;
  const key = cropKey(crop);
  return highest([...profiles.value.values()].filter((each) => each.crop !== undefined && cropKey(each.crop) === key));
}

/** What is set for a cultivar of a crop. */
export function cultivarOf(crop: string, name: string): Plain<Cultivar> | undefined {
  const isIt = (each: Plain<Cultivar>) =>
    cropKey(each.of_crop ?? '') === cropKey(crop) && cropKey(each.name ?? '') === cropKey(name);
  return highest([...cultivars.value.values()].filter(isIt));
}

/** How a crop is judged: the grower's profile, and for what it leaves open the values that Bedwalk starts with. */
export function judgedOf(crop: string | undefined): Judged {
  const profile = profileOf(crop);
  return profile ? judgedFrom(profile, defaultJudged) : defaultJudged;
}

/** The uniformity that a crop without one of its own aims for, in basis points: common practice, no source. */
export const AIM_BP = 7500;

/** The uniformity that the grower aims for on a bed of these crops, 0 to 1; the highest where they share it. Own is true where each has its own. */
export function aimOf(crops: readonly string[]): { aim: number; own: boolean } {
  const own = crops.map((crop) => profileOf(crop)?.uniformity_aim_bp);
  const aims = own.map((aim) => aim ?? AIM_BP);
  return {
    aim: Math.max(...aims, aims.length === 0 ? AIM_BP : 0) / 10_000,
    own: own.every((aim) => aim !== undefined),
  };
}

/** True when something about the pot wants attention: chlorosis, dead roots, disease. */
export function isTroubled(now: Observation): boolean {
  const yellow = now.chlorosis !== undefined && now.chlorosis !== 'none';
  const dead = now.scratch === 'soft' || ((now.root_life ?? 5) <= 2 && now.scratch !== 'firm_white');
  return yellow || dead || now.disease === true;
}
