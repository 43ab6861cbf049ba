import { useState } from 'preact/hooks';
import type { AttentionItem } from '../../../../../schema/types';
import { dayIn, dayOf } from '../../../forms/days';
import { Button } from '../../../parts/Button';
import { Dialog } from '../../../parts/Dialog';
import { day } from '../../../words/format';
import { nameOfBed } from '../../../words/names';
import { supervisorWords } from '../../../words/supervisor';
import { peopleHere } from '../names';
import { OnTheWay } from './OnTheWay';
import { snooze, sendScout } from './putAway';

interface SnoozeProps {
  item: AttentionItem;
  head: string;
  onClose: () => void;
  onDone: (saved: boolean) => void;
  onUndone: () => void;
}

/** Puts a trouble off: to tomorrow, in three days or a week in one tap, or to any later day. */
export function Snooze({ item, head, onClose, onDone, onUndone }: SnoozeProps) {
  const words = supervisorWords.value.morning;
  const now = Date.now();
  const tomorrow = dayIn(1, now);
  const [to, pick] = useState(tomorrow);
  const put = (until: string) => {
    onClose();
    void snooze(item, until, head, onUndone).then(onDone);
  };
  return (
    <Dialog title={words.snoozeTitle} open onClose={onClose}>
      <p>{head}</p>
      <p class="small quiet">{words.snoozeNote}</p>
      <p class="actions">
        {[1, 3, 7].map((days) => (
          <Button key={days} onClick={() => put(dayIn(days, now))}>
            {day(dayIn(days, now))}
          </Button>
        ))}
      </p>
      <form
        class="actions"
        onSubmit={(event) => {
          event.preventDefault();
          if (to >= tomorrow) put(to);
        }}
      >
        <DayAsked label={words.snoozeDay} least={tomorrow} value={to} onPick={pick} />
        <Button kind="main" submit>
          {words.save}
        </Button>
      </form>
    </Dialog>
  );
}

interface SendProps {
  bed: string;
  /** Why somebody is sent, which names the bed. */
  head: string;
  onClose: () => void;
}

/** Hands a second look at a bed to somebody. */
export function SendScout({ bed, head, onClose }: SendProps) {
  const words = supervisorWords.value.morning;
  const here = peopleHere();
  const today = dayOf(Date.now());
  const [person, pick] = useState('');
  const [due, pickDue] = useState(today);
  const [work, write] = useState(words.sendWork(head));
  const send = () => {
    const who = here.find(({ id }) => id === person);
    if (!who || work.trim() === '') return;
    onClose();
    void sendScout(bed, { person, name: who.name, due, words: work.trim() });
  };
  return (
    <Dialog title={words.sendTitle(nameOfBed(bed))} open onClose={onClose}>
      <OnTheWay bed={bed} />
      <form
        class="errand"
        onSubmit={(event) => {
          event.preventDefault();
          send();
        }}
      >
        <label class="ask">
          <span>{words.sendTo}</span>
          <select required autofocus value={person} onChange={({ currentTarget }) => pick(currentTarget.value)}>
            <option value="">{words.noScout}</option>
            {here.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </label>
        <DayAsked label={words.sendDue} least={today} value={due} onPick={pickDue} />
        <label class="ask">
          <span>{words.sendWords}</span>
          <textarea required maxLength={400} value={work} onInput={({ currentTarget }) => write(currentTarget.value)} />
        </label>
        <Button kind="main" submit>
          {words.send}
        </Button>
      </form>
    </Dialog>
  );
}

interface DayProps {
  label: string;
  /** The first day that can be chosen. */
  least: string;
  value: string;
  onPick: (day: string) => void;
}

function DayAsked({ label, least, value, onPick }: DayProps) {
  return (
    <label class="ask">
      <span>{label}</span>
      <input
        type="date"
        required
        min={least}
        value={value}
        onInput={({ currentTarget }) => onPick(currentTarget.value)}
      />
    </label>
  );
}
