import { useState } from 'preact/hooks';
import type { Booking, BookingView, LotView } from '../../../../../schema/types';
import { judgedOf } from '../../../journal/records/input';
import { bookings, lots, recordOf, seenOf, type Plain } from '../../../journal/records/registers';
import { intent } from '../../../journal/outbox/write';
import { Button } from '../../../parts/Button';
import { byCode, DataTable } from '../../../parts/DataTable';
import { Dialog } from '../../../parts/Dialog';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { number, shipWeek } from '../../../words/format';
import { saveForm } from '../../../forms/saving';
import { BookingForm } from './BookingForm';
import { gradesOf } from '../crops/crops';
import { weekOf } from './weeks';

interface Row {
  id: string;
  booking: Pick<Plain<Booking>, 'buyer' | 'grade' | 'pots' | 'ship_week' | 'cancelled'>;
  /** False while the server tells of it and its record has not arrived here: it is shown, and not yet changed. */
  here: boolean;
  /** What the server makes of it; undefined while it has not counted what stands here. */
  counted: BookingView | undefined;
}

/** What is booked of a lot, as it stands on this device; how much of it was shipped is the server's word. */
export function Bookings({ view }: { view: LotView }) {
  const words = supervisorWords.value.promise;
  const [asked, ask] = useState<string | undefined>(undefined);
  const rows = rowsOf(view);
  return (
    <>
      <h3>{words.bookings}</h3>
      {rows.length === 0 ? (
        <p class="quiet">{words.none}</p>
      ) : (
        <DataTable
          caption={words.bookings}
          captionUnseen
          stacks
          rows={rows}
          keyOf={(row) => row.id}
          rowClass={({ booking }) => (booking.cancelled ? 'undone' : '')}
          columns={[
            { key: 'buyer', title: words.buyer, heads: true, cell: ({ booking }) => booking.buyer ?? '' },
            { key: 'grade', title: words.grade, cell: ({ booking }) => booking.grade ?? '' },
            {
              key: 'week',
              title: words.week,
              by: ({ booking }) => booking.ship_week ?? '',
              cell: ({ booking }) => (booking.ship_week ? shipWeek(booking.ship_week) : words.weekNone),
            },
            { key: 'pots', title: words.pots, numeric: true, cell: ({ booking }) => number(booking.pots ?? 0) },
            {
              key: 'shipped',
              title: words.shippedSoFar,
              numeric: true,
              cell: ({ counted }) => (counted ? number(counted.shipped) : '…'),
            },
            {
              key: 'open',
              title: words.open,
              numeric: true,
              cell: ({ counted }) => (counted ? number(counted.open) : '…'),
            },
            { key: 'state', title: words.state, cell: (row) => stateOf(view, row) },
            {
              key: 'change',
              title: words.change,
              cell: ({ id, booking, here }) => (
                <button
                  type="button"
                  class="button plain tap"
                  disabled={!here}
                  aria-label={words.changeOf(booking.buyer ?? appWords.value.common.unknown)}
                  onClick={() => ask(id)}
                >
                  {words.change}
                </button>
              ),
            },
          ]}
        />
      )}
      <p class="actions">
        <Button onClick={() => ask('')}>{words.enter}</Button>
      </p>
      <p class="small quiet">
        {words.served} {view.shipped_free > 0 && words.free(view.shipped_free)}
      </p>
      <Dialog
        title={asked ? words.changeOf(bookings.value.get(asked)?.buyer ?? appWords.value.common.unknown) : words.enter}
        open={asked !== undefined}
        onClose={() => ask(undefined)}
      >
        <BookingForm
          key={asked}
          lot={view.lot.id}
          id={asked ?? ''}
          onDone={() => ask(undefined)}
          onCancel={(id) => void cancel(view.lot.id, id).then(() => ask(undefined))}
        />
      </Dialog>
    </>
  );
}

function rowsOf(view: LotView): Row[] {
  const counted = new Map(view.bookings.map((booking) => [booking.id, booking]));
  const here = [...bookings.value.values()]
    .filter((booking) => booking.lot === view.lot.id)
    .map((booking): Row => {
      const known = counted.get(booking.id);
      const fields = Object.values(recordOf('booking', booking.id)?.register?.fields ?? {});
      const live = [...new Set(fields.flatMap((field) => field.live))].sort().join(' ');
      return { id: booking.id, booking, here: true, counted: known?.live.join(' ') === live ? known : undefined };
    });
  const toCome = view.bookings
    .filter(({ id }) => !bookings.value.has(id))
    .map((booking): Row => ({ id: booking.id, booking, here: false, counted: booking }));
  return [...here, ...toCome].sort((a, b) => byCode(sorted(a), sorted(b)));
}

function sorted({ id, booking }: Row): string {
  return `${booking.cancelled ? 1 : 0} ${booking.ship_week ?? ''} ${booking.buyer ?? ''} ${id}`;
}

/** Where a booking stands, and what of it wants a step. */
function stateOf(view: LotView, { booking, counted }: Row): string {
  const words = supervisorWords.value.promise;
  if (booking.cancelled) return words.states.cancelled;
  if (!counted) return words.notThere;
  const week = booking.ship_week ?? '';
  const names = gradeNames(view.lot.id);
  if (counted.open === 0 && counted.shipped < counted.pots) return words.states.closed;
  if (counted.open === 0) return words.states.shipped;
  return [
    words.states.open,
    week !== '' && week < weekOf(Date.now()) ? words.overdue : '',
    week !== '' && view.lot.ship_week !== '' && week < view.lot.ship_week
      ? words.before(shipWeek(view.lot.ship_week))
      : '',
    names.length > 0 && !names.includes(booking.grade ?? '') ? words.unknownGrade : '',
  ]
    .filter(Boolean)
    .join('; ');
}

/** The names of the grades for a lot's pot size, best first. */
function gradeNames(lot: string): string[] {
  const { crop, pot_mm = 0 } = lots.value.get(lot) ?? {};
  return gradesOf(judgedOf(crop).grades, pot_mm).map((grade) => grade.name);
}

/** Cancels a booking, or books it again; it stays in the history either way. */
export async function cancel(lot: string, id: string): Promise<void> {
  const words = supervisorWords.value.promise;
  const booking = bookings.value.get(id);
  const cancelled = booking?.cancelled !== true;
  const body = { of: id, saw: seenOf('booking', id, ['cancelled']), cancelled };
  const buyer = booking?.buyer ?? appWords.value.common.unknown;
  await saveForm(
    `booking cancel ${id}`,
    [intent('booking', body, { lot })],
    cancelled
      ? words.cancelledSaid(buyer)
      : words.saved(booking?.pots ?? 0, buyer, booking?.ship_week ? shipWeek(booking.ship_week) : ''),
  );
}
