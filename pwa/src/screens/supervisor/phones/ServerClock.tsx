import type { ClockConfirm, ClockView } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { say } from '../../../parts/Toast';
import { me } from '../../../state';
import { supervisorWords } from '../../../words/supervisor';
import { when } from '../../../words/format';
import { refresh, send } from '../../../views/views';
import { useSending } from '../Trouble';

/** Says that the server gives no times, why, and what to do; nothing while its clock is believed. */
export function ServerClock({ clock, path }: { clock: ClockView; path: string }) {
  const words = supervisorWords.value.phones;
  const { trouble, attempt } = useSending();
  if (clock.doubt === '') return null;
  const why: { [doubt: string]: string | undefined } = words.clockDoubt;
  const confirm = async () => {
    await attempt(async () => {
      await send('/api/clock', { now: clock.now } satisfies ClockConfirm);
      say(words.clockConfirmed);
    });
    await refresh(path);
  };
  return (
    <section class="attention" role="alert">
      <p>
        <strong>{why[clock.doubt] ?? words.clockDoubt.jumped}</strong> {words.clockNow(when(clock.now))}{' '}
        {clock.people > 0 && words.clockPhones(when(clock.phones), words.clockPeople(clock.people))}
      </p>
      <p>
        {words.clockKept} {words.clockOwner}
      </p>
      {trouble && <p>{trouble}</p>}
      {me.value?.role === 'owner' && (
        <div class="actions">
          <Button kind="clay" onClick={() => void confirm()}>
            {words.clockConfirm}
          </Button>
        </div>
      )}
    </section>
  );
}
