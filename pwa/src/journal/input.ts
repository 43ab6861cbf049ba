/** Puts together what a bed is judged and a walk planned from, out of the records on the phone. */
import { defaultJudged } from '../../../schema/limits';
import type { Bed, BedInput, Judged, LotOnBed, Observation, PotSeen, Profile, Span } from '../../../schema/types';
import { cropKey } from '../../../sync/bed/crop';
import { judgedFrom } from '../../../sync/bed/judged';
import type { PotRow } from './read';
import { beds, lots, profiles, spans, stock, type Plain } from './things';

/** The stretches of a bed that a lot stands on now, from the entry end on. */
export function spansOf(bed: string): Plain<Span>[] {
  return [...spans.value.values()]
    .filter((span) => span.bed === bed && span.ended !== true && span.lot !== undefined)
    .sort((a, b) => (a.from_row ?? 0) - (b.from_row ?? 0));
}

/** The profile of a crop; where two were begun apart, the one with the higher id counts, here as at the server. */
export function profileOf(crop: string | undefined): Plain<Profile> | undefined {
  if (crop === undefined) return undefined;
  const key = cropKey(crop);
  const own = [...profiles.value.values()].filter((each) => each.crop !== undefined && cropKey(each.crop) === key);
  return own.reduce<Plain<Profile> | undefined>((best, each) => (best && best.id > each.id ? best : each), undefined);
}

/** How a crop is judged: the grower's profile, and for what it leaves open the values that Bedwalk starts with. */
export function judgedOf(crop: string | undefined): Judged {
  const profile = profileOf(crop);
  return profile ? judgedFrom(profile, defaultJudged) : defaultJudged;
}

export function inputOf(bed: string, pots: readonly PotRow[]): BedInput | undefined {
  const plain = beds.value.get(bed);
  if (!plain) return undefined;
  return {
    bed,
    rows: plain.rows ?? 1,
    across: plain.across ?? 1,
    length_mm: plain.length_mm ?? 0,
    entry_end: plain.entry_end ?? '',
    far_end: plain.far_end ?? '',
    aisles: plain.aisles ?? 'near',
    lots: spansOf(bed).map((span) => onBed(span, plain)),
    pots: pots.filter((pot) => !pot.voided).map(seen),
  };
}

function onBed(span: Plain<Span>, bed: Plain<Bed>): LotOnBed {
  const lot = lots.value.get(span.lot ?? '');
  const from = span.from_row ?? 1;
  const to = span.to_row ?? bed.rows ?? from;
  return {
    lot: span.lot ?? '',
    from_row: from,
    to_row: to,
    // Where nobody has counted yet, the bed is taken as full.
    standing: stock.value.get(span.lot ?? '')?.by_span[span.id] ?? (to - from + 1) * (bed.across ?? 1),
    pot_mm: lot?.pot_mm ?? 0,
    judged: judgedOf(lot?.crop),
  };
}

function seen(pot: PotRow): PotSeen {
  const seen: PotSeen = { id: pot.id, person: pot.by.person, at: pot.first.stamp.at, now: pot.now };
  // A corrected pot was looked at twice: it is not offered as a slip again.
  return pot.versions > 1 ? { ...seen, checked: true } : seen;
}

/** The lot that stands at a row of a bed, or the nearest one where the row is bare. */
export function lotAt(bed: string, row: number): string | undefined {
  const stretches = spansOf(bed);
  const here = stretches.find((span) => (span.from_row ?? 0) <= row && row <= (span.to_row ?? 0));
  return (here ?? stretches[0])?.lot;
}

/** True when something about the pot wants attention: chlorosis, dead roots, disease. */
export function isTroubled(now: Observation): boolean {
  const yellow = now.chlorosis !== undefined && now.chlorosis !== 'none';
  const dead = now.scratch === 'soft' || ((now.root_life ?? 5) <= 2 && now.scratch !== 'firm_white');
  return yellow || dead || now.disease === true;
}
