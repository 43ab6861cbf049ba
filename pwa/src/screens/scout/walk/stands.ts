import type { Place } from '../../../../../schema/types';
import type { FactRow, PotRow } from '../../../journal/records/read';

/** The place of what was noted or skipped last; nothing where that is of no known place, 'entry' before the first. */
export type Stands = Place | 'entry' | undefined;

/** Where the scout stands, as the walk's notes tell it. A pot that was struck out tells nothing: it may be struck out for its place. */
export function standsAt(pots: readonly PotRow[], skips: readonly FactRow[]): Stands {
  const noted = pots.map(({ first, now, voided }) => ({ at: first.stamp.at, place: now.place, voided }));
  const skipped = skips.map(({ by, body, voided }) => ({ at: by.stamp.at, ...(body as { place?: Place }), voided }));
  const last = [...noted, ...skipped].filter((each) => !each.voided).sort((a, b) => a.at - b.at);
  return last.length === 0 ? 'entry' : last[last.length - 1]?.place;
}
