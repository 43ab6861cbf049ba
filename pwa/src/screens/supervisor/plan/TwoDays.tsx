import { useState } from 'preact/hooks';
import type { Register, Stamped, WorkItem, WorkTick } from '../../../../../schema/types';
import { keys } from '../../../../../sync/fold/fold';
import { seenIn } from '../../../journal/records/registers';
import { intent, save } from '../../../journal/outbox/write';
import { Button } from '../../../parts/Button';
import { say, sayNotSaved } from '../../../parts/Toast';
import { appWords } from '../../../words';
import { day } from '../../../words/format';
import { workWords } from '../../../words/rooms';
import { supervisorWords } from '../../../words/supervisor';
import { workAndLot } from '../../../words/tasks';
import { Section } from '../Page';
import '../../../style/supervisor-lot.css';

interface Ticked {
  item: WorkItem;
  register: Register | undefined;
}

/** Work that was ticked for more than one day by people who did not know of each other. */
export function isOnTwoDays({ item: { ticks } }: Ticked): boolean {
  return ticks.some(({ on }) => on !== ticks[0]?.on);
}

/** A finding to settle: both days are shown, the earlier counts until somebody chooses. */
export function TwoDays({ rows, isReady }: { rows: readonly Ticked[]; isReady: boolean }) {
  const words = supervisorWords.value.tasks.twoDays;
  const [busy, setBusy] = useState(false);
  if (rows.length === 0) return null;
  const keep = async (row: Ticked, tick: WorkTick) => {
    setBusy(true);
    try {
      const saved = await save(settled(row, tick));
      say(words.settled(workAndLot(row.item), day(tick.on)), () => void undo(saved));
    } catch (error) {
      sayNotSaved(error);
    }
    setBusy(false);
  };
  return (
    <Section title={words.title} class="settle">
      <p>{words.intro}</p>
      {rows.map((row) => (
        <fieldset key={row.item.task}>
          <legend>{workAndLot(row.item)}</legend>
          <ul>
            {row.item.ticks.map((tick, i) => (
              <li key={`${tick.on} ${tick.by}`}>
                <p>
                  <b>{day(tick.on)}</b>
                  {i === 0 && <span class="small quiet"> · {words.counts}</span>}
                  <br />
                  <span class="small quiet">{tick.name || appWords.value.common.unknown}</span>
                </p>
                {/* What has not arrived on this device cannot be chosen from with open eyes. */}
                <Button disabled={busy || !isReady || !row.register} onClick={() => void keep(row, tick)}>
                  {words.keep(day(tick.on))}
                </Button>
              </li>
            ))}
          </ul>
        </fieldset>
      ))}
    </Section>
  );
}

/** The chosen day in the place of all that were seen; the lot's events of the other days are struck out with it. */
function settled({ item, register }: Ticked, { on, by }: WorkTick) {
  const where = { lot: item.lot };
  const saw = seenIn(register, ['done_on', 'done_by']);
  const others = item.ticks.filter((other) => other.on !== on).flatMap(({ events }) => events ?? []);
  return [
    intent('task', { of: item.task, saw, done_on: on, done_by: by }, where),
    ...others.map((id) => intent('void', { names: id, records: [`fact:${id}`], why: 'mistake' }, where)),
  ];
}

/** Takes the choice back: both days stand again, with their events. */
async function undo(saved: readonly Stamped[]): Promise<void> {
  const words = workWords.value.work.form;
  const back = saved.map((each) => {
    const { id, lot, kind } = each.entry;
    const body = { names: id, records: keys(each.entry) };
    const where = lot ? { lot } : {};
    return kind === 'void' ? intent('unvoid', body, where) : intent('void', { ...body, why: 'mistake' }, where);
  });
  try {
    await save(back);
    say(words.undone);
  } catch {
    say(words.undoFailed);
  }
}
