import { isTroubled, spansOf } from '../../journal/records/input';
import type { PotRow } from '../../journal/records/read';
import { beds } from '../../journal/records/registers';
import { BedStrip, type StripPot } from '../../parts/BedStrip';
import { nameOfBed, nameOfLot } from '../../words/names';

interface Props {
  bed: string;
  height: number;
  pots: readonly StripPot[];
  few?: boolean;
}

/** A bed as the phone's records have it, with its lots where they stand and the pots that were seen. */
export function StripOfBed({ bed, ...rest }: Props) {
  const record = beds.value.get(bed);
  return (
    <BedStrip
      bed={nameOfBed(bed)}
      rows={record?.rows ?? 1}
      across={record?.across ?? 1}
      spans={spansOf(bed).map((span) => ({
        lot: span.lot ?? '',
        label: nameOfLot(span.lot ?? ''),
        from_row: span.from_row ?? 1,
        to_row: span.to_row ?? 1,
      }))}
      entryEnd={record?.entry_end ?? ''}
      farEnd={record?.far_end ?? ''}
      {...rest}
    />
  );
}

/** Pots as dots, where it is known at which place they stood. */
export function dotsOf(pots: readonly PotRow[]): StripPot[] {
  return pots.flatMap((pot): StripPot[] => {
    if (!pot.now.place) return [];
    const state = pot.voided ? 'voided' : isTroubled(pot.now) ? 'trouble' : 'seen';
    return [{ id: pot.id, place: pot.now.place, state, lot: pot.now.lot }];
  });
}
