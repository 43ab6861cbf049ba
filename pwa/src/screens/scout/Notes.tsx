/** Own notes and the queue: what waits, what arrived, what is held, and what keeps it, in plain words. */
import { useState } from 'preact/hooks';
import type { Fault } from '../../../../schema/types';
import { Button } from '../../parts/Button';
import { carry, courier } from '../../journal/carrier';
import { unsentFile } from '../../journal/export';
import { waiting } from '../../journal/queue';
import { ownNotes, useStored } from '../../journal/read';
import type { EntryRow } from '../../journal/shape';
import { Title } from '../../router';
import { me, queue } from '../../state';
import { t } from '../../words';
import { faultSaid } from '../../words/fault';
import { atWhen, stamp, when } from '../../words/format';
import { Bar } from './Bar';
import { handOver } from './handOver';
import { nameOfBed, nameOfLot, summary } from './names';
import { sentence } from './QueueLine';
import { HowYouRead } from './Told';

const PAGE = 40;

export function Notes() {
  const words = t.value.scout;
  const [most, setMost] = useState(PAGE);
  const rows = useStored(async () => (me.value ? ownNotes(me.value.device, most) : []), [me.value?.device, most]);
  const { state } = queue.value;
  const told = waiting.value.told;
  const stuck = state === 'unpaired' || state === 'revoked' || state === 'portal' || state === 'refused';
  return (
    <main class="scout notes with-bar">
      <Title text={words.nav.notes} />
      <section class="state" role="status">
        <p>
          <b>{sentence()}</b>
        </p>
        <p class={stuck ? 'attention' : 'quiet'}>{words.queue[state]}</p>
        {state === 'refused' && queue.value.detail !== '' && <p class="small">{queue.value.detail}</p>}
        {waiting.value.parked > 0 && <p class="attention">{words.queue.parked(waiting.value.parked)}</p>}
        {waiting.value.photos > 0 && <p class="small quiet">{words.queue.photos(waiting.value.photos)}</p>}
        {told && (
          <p class="small quiet">
            {told.equal ? words.queue.agrees(atWhen(told.at)) : words.queue.differs(atWhen(told.at))}
            {told.equal && told.position > 0 && waiting.value.backedUpTo >= told.position
              ? ` ${words.queue.backedUp}`
              : ''}
          </p>
        )}
        {courier.value.nextTryAt > 0 && waiting.value.waiting > 0 && state !== 'carrying' && (
          <p class="small quiet">{words.queue.nextTry(atWhen(courier.value.nextTryAt))}</p>
        )}
      </section>
      <div class="menu">
        <Button size="walk" kind="main" disabled={state === 'carrying'} onClick={() => carry('asked')}>
          {words.queue.tryNow}
        </Button>
        <Button size="walk" onClick={() => void unsentFile().then(handOver)}>
          {words.notes.toFile}
        </Button>
      </div>
      <HowYouRead />
      <h2>{words.notes.own}</h2>
      {rows?.length === 0 && <p class="quiet">{words.notes.none}</p>}
      <ol class="facts">
        {rows?.map((row) => (
          <OneNote key={row.id} row={row} />
        ))}
      </ol>
      {rows && rows.length >= most && <Button onClick={() => setMost(most + PAGE)}>{words.notes.older}</Button>}
      <Bar />
    </main>
  );
}

function OneNote({ row }: { row: EntryRow }) {
  const words = t.value.scout.notes;
  const { entry } = row;
  const kind = (words.kinds as Record<string, string>)[entry.kind] ?? entry.kind;
  const about = [entry.bed ? nameOfBed(entry.bed) : '', entry.lot ? nameOfLot(entry.lot) : '']
    .filter(Boolean)
    .join(' · ');
  return (
    <li>
      <span>
        <b>{kind}</b> <span class="small quiet">{row.position > 0 ? stamp(row.stamp) : when(entry.wall)}</span>
        <span class="small quiet">{about}</span>
        {entry.kind === 'observation' && <span class="small">{summary(entry.body as never)}</span>}
        {row.state === 'left' && <span class="small attention">{words.leftNote}</span>}
        {faultsOf(row).map((fault: Fault) => (
          <span key={`${fault.field} ${fault.code}`} class="small attention">
            {faultSaid(fault, entry)}
          </span>
        ))}
      </span>
      <span class={`small ${row.state ? 'attention' : 'nowrap quiet'}`}>{stateOf(row)}</span>
    </li>
  );
}

/** Why it is kept apart. That a supervisor had to look at it is no reason any more, once one has decided. */
function faultsOf(row: EntryRow): readonly Fault[] {
  return (row.faults ?? []).filter(({ code }) => row.state !== 'left' || !['revoked', 'role'].includes(code));
}

function stateOf(row: EntryRow): string {
  const words = t.value.scout.notes;
  if (row.state === 'held') return words.held;
  if (row.state === 'review') return words.review;
  if (row.state === 'left') return words.left;
  if (row.parked) return words.parked;
  return row.pending ? words.waiting : words.arrived;
}
