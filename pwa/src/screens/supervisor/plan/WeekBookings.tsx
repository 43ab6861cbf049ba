import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import type { SupplyBooking } from '../../../../../schema/types';
import { bookings, recordOf } from '../../../journal/records/registers';
import { Button } from '../../../parts/Button';
import { Dialog } from '../../../parts/Dialog';
import { Link } from '../../../router';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { BookingForm } from '../lot/BookingForm';
import { cancel } from '../lot/Bookings';
import { Days } from '../lot/PlanEdit';
import { BookingSheetIn } from './BookingSheetIn';
import { useOpenOnPaper } from '../onPaper';
import { saidBooking } from './supplyWords';

/** So many bookings stand below the line of their week; a week may have dozens, and the next one is to be seen too. */
const AT_FIRST = 6;

/** The bookings of a week that cannot be met for sure, the first of them at once. */
export function Unmet({ bookings: all }: { bookings: readonly SupplyBooking[] }) {
  const isLong = all.length > AT_FIRST + 1;
  const within = useOpenOnPaper('details');
  return (
    <div ref={within}>
      <Booked bookings={isLong ? all.slice(0, AT_FIRST) : all} />
      {isLong && (
        <details>
          <summary>{supervisorWords.value.supply.moreNotSure(all.length - AT_FIRST)}</summary>
          <Booked bookings={all.slice(AT_FIRST)} />
        </details>
      )}
    </div>
  );
}

export function Booked({ bookings }: { bookings: readonly SupplyBooking[] }) {
  return (
    <ul>
      {bookings.map((booking) => {
        const [said, outcome] = saidBooking(booking);
        return (
          <li key={booking.id}>
            {booking.lot === '' ? said : <Link to={`/lots/${booking.lot}`}>{said}</Link>}{' '}
            <span class={booking.missing > 0 && booking.why !== 'unknown' ? 'attention' : ''}>{outcome}</span>{' '}
            {booking.lot === '' && <EnterBooking id={booking.id} label={supervisorWords.value.promise.change} />}
          </li>
        );
      })}
    </ul>
  );
}

/** A booking that names no lot, entered ('' as its id) or changed. */
export function EnterBooking({ id, label }: { id: string; label: string }) {
  const words = supervisorWords.value.promise;
  const isNew = id === '';
  const booking = bookings.value.get(id);
  const title = isNew ? words.enter : words.changeOf(booking?.buyer ?? appWords.value.common.unknown);
  return (
    <Opens label={label} title={title} isQuiet={!isNew} isHere={isNew || booking !== undefined}>
      {(close) => (
        <>
          {isNew && <p class="quiet">{words.wideIntro}</p>}
          <BookingForm lot="" id={id} onDone={close} onCancel={(asked) => void cancel('', asked).then(close)} />
        </>
      )}
    </Opens>
  );
}

/** Bookings from a spreadsheet. */
export function BookingsIn() {
  const { title } = supervisorWords.value.supply.sheet;
  return (
    <Opens label={title} title={title}>
      {(close) => <BookingSheetIn onDone={close} />}
    </Opens>
  );
}

/** A lot in another ship week: tried, and taken. */
export function TryLot({ lot, tag }: { lot: string; tag: string }) {
  const words = supervisorWords.value.supply;
  return (
    <Opens label={words.tryWeek} title={words.tryWeekOf(tag)} isQuiet isHere={recordOf('lot', lot) !== undefined}>
      {(close) => <Days lot={lot} steps={[]} onDone={close} />}
    </Opens>
  );
}

interface OpensProps {
  label: string;
  /** The dialog's title; a screen reader reads it for a quiet button too, which stands among others like it. */
  title: string;
  isQuiet?: boolean;
  /** False while its record has not arrived on this device: it cannot be written over with open eyes. */
  isHere?: boolean;
  children: (close: () => void) => ComponentChildren;
}

/** A button, and the dialog that it opens. */
function Opens({ label, title, isQuiet = false, isHere = true, children }: OpensProps) {
  const [isOpen, setIsOpen] = useState(false);
  const close = () => setIsOpen(false);
  return (
    <>
      <Button
        {...(isQuiet ? { kind: 'quiet', 'aria-label': title } : {})}
        disabled={!isHere}
        onClick={() => setIsOpen(true)}
      >
        {label}
      </Button>
      <Dialog title={title} open={isOpen} onClose={close}>
        {children(close)}
      </Dialog>
    </>
  );
}
