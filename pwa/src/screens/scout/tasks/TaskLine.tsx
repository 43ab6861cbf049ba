import { useRef, useState } from 'preact/hooks';
import { addressOfForm, isOneTap } from '../../../forms/tasks';
import { Button } from '../../../parts/Button';
import { go } from '../../../router';
import { dayOf } from '../../../forms/days';
import { me } from '../../../state';
import { appWords } from '../../../words';
import { day, list, untilWhen } from '../../../words/format';
import { shortGate } from '../../../words/gates';
import { lotLine, nameOfBed } from '../../../words/names';
import { supervisorWords } from '../../../words/supervisor';
import { nameOfWork, saidDue, saidTicks, workAndLot } from '../../../words/tasks';
import { closedNow } from '../closed';
import type { Row } from './itemsNow';
import { takeBack } from './tickTask';

interface Props {
  row: Row;
  /** Says whose it is, where that is not plain. */
  withPerson?: boolean;
  onDone: () => Promise<void>;
  /** Asks for another day than today; a screen without it has no such choice. */
  onAskDay?: () => void;
}

/** One piece of work: what, which lot and where, why and by when; and the one button that it has. */
export function TaskLine({ row, withPerson = false, onDone, onAskDay }: Props) {
  const words = supervisorWords.value.tasks;
  const { item } = row;
  const isDone = item.ticks.length > 0;
  const until = closedUntil(row);
  const where = item.beds.length === 0 ? words.noBed : list(item.beds.map(({ bed }) => nameOfBed(bed)));
  const seen = isDone ? [] : (item.gates ?? []).map(seenAt);
  return (
    <li>
      <div>
        <b>{[nameOfWork(item), lotLine(item)].filter(Boolean).join(' · ')}</b>
        {(item.lot !== '' || item.beds.length > 0) && (
          <p>{[where, item.lot !== '' && words.pots(item.pots)].filter(Boolean).join(' · ')}</p>
        )}
        {!isDone && (
          <p class={item.late_days > 0 ? 'small attention' : 'small quiet'}>
            {saidDue(item)}
            {item.late_days > 0 && `. ${words.mine.ask}`}
          </p>
        )}
        {seen.length > 0 && <p class="small quiet">{seen.join(', ')}</p>}
        {withPerson && !isDone && (
          <p class="small quiet">
            {item.person_name === '' ? words.list.forNobody : words.list.forPerson(item.person_name)}
          </p>
        )}
        {isDone && <p class="small">{saidTicks(item).join('. ')}</p>}
        {!isDone && until > 0 && <p class="attention">{words.closed(untilWhen(until))}</p>}
        {isDone && <TakeBack row={row} />}
      </div>
      {isDone ? (
        <Ticked row={row} />
      ) : until > 0 ? (
        <span class="tile shut small">{words.list.closed}</span>
      ) : isOneTap(item) ? (
        <DoneButton label={words.list.button(workAndLot(item))} onDone={onDone} onAskDay={onAskDay}>
          {words.mine.done}
        </DoneButton>
      ) : (
        <Button size="walk" aria-label={words.list.openForm(workAndLot(item))} onClick={() => go(addressOfForm(item))}>
          {words.mine.open}
        </Button>
      )}
    </li>
  );
}

/** When the last entry interval on its beds ends; of beds that this phone does not hold the server says so. 0 where none runs. */
function closedUntil({ item }: Row): number {
  const here = Math.max(...item.beds.map(({ bed }) => closedNow(bed)), 0);
  return Math.max(here, item.closed_until > Date.now() ? item.closed_until : 0);
}

/** What the last walk saw of a gate, and on which day. */
function seenAt(gate: NonNullable<Row['item']['gates']>[number]): string {
  return gate.on === '' ? shortGate(gate) : `${shortGate(gate)} (${day(gate.on)})`;
}

/** How long a finger rests before it means another day, ms. */
const HOLD_MS = 500;

interface DoneProps {
  label: string;
  onDone: () => Promise<void>;
  onAskDay: (() => void) | undefined;
  children: string;
}

function DoneButton({ label, onDone, onAskDay, children }: DoneProps) {
  const [isSaving, setSaving] = useState(false);
  const holding = useRef<ReturnType<typeof setTimeout> | undefined>(undefined);
  const wasHeld = useRef(false);
  const begin = () => {
    wasHeld.current = false;
    if (!onAskDay) return;
    holding.current = setTimeout(() => {
      wasHeld.current = true;
      onAskDay();
    }, HOLD_MS);
  };
  const end = () => clearTimeout(holding.current);
  const tap = async ({ detail }: MouseEvent) => {
    const isLifted = wasHeld.current;
    wasHeld.current = false;
    // The finger that asked for the day is only now lifted. A key has no count of clicks.
    if (isLifted && detail > 0) return;
    setSaving(true);
    await onDone();
    setSaving(false);
  };
  return (
    <Button
      size="walk"
      class="hold"
      aria-label={label}
      disabled={isSaving}
      onPointerDown={begin}
      onPointerUp={end}
      onPointerLeave={end}
      onPointerCancel={end}
      onContextMenu={(event) => event.preventDefault()}
      onClick={(event) => void tap(event)}
    >
      {children}
    </Button>
  );
}

function Ticked({ row: { item, ticks } }: { row: Row }) {
  const [first] = item.ticks;
  const noted = ticks.find(({ on, by, at }) => on === first?.on && by === first.by && on === dayOf(at));
  return (
    <span class="tile ticked small">
      <span aria-hidden="true">✓</span> {noted ? untilWhen(noted.at) : first && day(first.on)}
    </span>
  );
}

/** One's own tick is taken back for as long as it is shown; a form's notes are struck out under Notes, all together. */
function TakeBack({ row: { item, ticks } }: { row: Row }) {
  const own = ticks.find(({ by, device }) => by === me.value?.person && device === me.value.device);
  if (!own || !isOneTap(item)) return null;
  const words = supervisorWords.value.tasks.list;
  return (
    <Button kind="quiet" size="tap" aria-label={words.undo(workAndLot(item))} onClick={() => void takeBack(item, own)}>
      {appWords.value.common.undo}
    </Button>
  );
}
