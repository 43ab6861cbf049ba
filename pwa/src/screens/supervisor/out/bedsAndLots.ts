/** The nursery in the form in which a sheet of beds and lots is brought in: one row for each lot on a bed. */
import { spansOf } from '../../../journal/records/input';
import { beds, houses, lots, stock } from '../../../journal/records/registers';
import { supervisorWords } from '../../../words/supervisor';
import type { Units } from '../sheet/asked';
import { headings, type Heading } from '../sheet/headings';

const MM = { m: 1000, ft: 304.8, cm: 10, in: 25.4 } as const;

export function bedsAndLots(units: Units): (string | number)[][] {
  const words = supervisorWords.value.sheet.heading;
  const unitOf: Partial<Record<Heading, keyof typeof MM>> = { length: units.long, width: units.long, pot: units.short };
  const size = (mm: number | undefined, unit: keyof typeof MM) =>
    mm === undefined ? undefined : Number((mm / MM[unit]).toFixed(3));
  const inOrder = [...beds.value.values()]
    .filter((bed) => !bed.retired || spansOf(bed.id).length > 0)
    .map((bed) => ({ bed, house: houses.value.get(bed.house ?? '') }))
    .sort((a, b) => (a.house?.order ?? 0) - (b.house?.order ?? 0) || (a.bed.order ?? 0) - (b.bed.order ?? 0));
  const rows = inOrder.flatMap(({ bed, house }) => {
    const of = {
      house: house?.name,
      bed: bed.name,
      length: size(bed.length_mm, units.long),
      width: size(bed.width_mm, units.long),
      rows: bed.rows,
      across: bed.across,
      entry: bed.entry_end,
      far: bed.far_end,
      near: bed.near_side,
      beyond: bed.far_side,
    };
    const standing = spansOf(bed.id).map((span) => {
      const lot = lots.value.get(span.lot ?? '');
      return {
        ...of,
        lot: lot?.tag,
        crop: lot?.crop,
        cultivar: lot?.cultivar,
        pot: size(lot?.pot_mm, units.short),
        pots: stock.value.get(span.lot ?? '')?.by_span[span.id],
        from: span.from_row,
        to: span.to_row,
        struck: lot?.struck_on,
        potted: lot?.potted_on,
        ship: lot?.ship_week,
      };
    });
    return standing.length > 0 ? standing : [of];
  });
  const head = headings.map(({ heading }) => words[heading] + (unitOf[heading] ? ` (${unitOf[heading]})` : ''));
  const cells = rows.map((row: Partial<Record<Heading, string | number | undefined>>) =>
    headings.map(({ heading }) => row[heading] ?? ''),
  );
  return [head, ...cells];
}
