import { useState } from 'preact/hooks';
import type { AttentionItem } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { Dialog } from '../../../parts/Dialog';
import { day } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { bedName, peopleHere } from '../names';
import { snooze, sendScout } from './putAway';

/** A day from today on this device's calendar, as records write days. */
function dayAhead(days: number, from = new Date()): string {
  const at = new Date(from.getFullYear(), from.getMonth(), from.getDate() + days);
  const two = (value: number) => String(value).padStart(2, '0');
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;
}

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
  const [to, pick] = useState(dayAhead(1));
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
          <Button key={days} onClick={() => put(dayAhead(days))}>
            {day(dayAhead(days))}
          </Button>
        ))}
      </p>
      <form
        class="actions"
        onSubmit={(event) => {
          event.preventDefault();
          if (to >= dayAhead(1)) put(to);
        }}
      >
        <label class="ask">
          <span>{words.snoozeDay}</span>
          <input
            type="date"
            required
            min={dayAhead(1)}
            value={to}
            onInput={({ currentTarget }) => pick(currentTarget.value)}
          />
        </label>
        <Button kind="main" submit>
          {words.save}
        </Button>
      </form>
    </Dialog>
  );
}

interface SendProps {
  item: AttentionItem;
  bed: string;
  head: string;
  onClose: () => void;
}

/** Hands a second look at a bed to somebody. */
export function SendScout({ item, bed, head, onClose }: SendProps) {
  const words = supervisorWords.value.morning;
  const here = peopleHere();
  const [person, pick] = useState('');
  const [due, pickDue] = useState(dayAhead(0));
  const [work, write] = useState(words.sendWork(bedName(bed), head));
  const send = () => {
    const who = here.find(({ id }) => id === person);
    if (!who || work.trim() === '') return;
    onClose();
    void sendScout(item, { person, name: who.name, due, words: work.trim() });
  };
  return (
    <Dialog title={words.sendTitle} open onClose={onClose}>
      <form
        class="errand"
        onSubmit={(event) => {
          event.preventDefault();
          send();
        }}
      >
        <label class="ask">
          <span>{words.sendTo}</span>
          <select required value={person} onChange={({ currentTarget }) => pick(currentTarget.value)}>
            <option value="">{words.noScout}</option>
            {here.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </label>
        <label class="ask">
          <span>{words.sendDue}</span>
          <input
            type="date"
            required
            min={dayAhead(0)}
            value={due}
            onInput={({ currentTarget }) => pickDue(currentTarget.value)}
          />
        </label>
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
