/** Own notes and the queue: what waits, what arrived, what is held, and what keeps it, in plain words. */
import { useState } from 'preact/hooks';
import { Button } from '../../../parts/Button';
import { requestSync, syncStatus } from '../../../journal/worker/syncClient';
import { unsentFile } from '../../../journal/recovery/export';
import { outbox } from '../../../journal/outbox/outbox';
import { ownNotes } from '../../../journal/records/ownNotes';
import { useStored } from '../../../journal/records/read';
import { Title } from '../../../router';
import type { Meta } from '../../../journal/store/shape';
import { me, queue } from '../../../state';
import { appWords } from '../../../words';
import { amendWords } from '../../../words/rooms';
import { setupWords } from '../../../words/rooms';
import { atWhen } from '../../../words/format';
import { Bar } from '../Bar';
import { handOver } from './handOver';
import { OneNote } from './OneNote';
import { sentence } from '../QueueLine';
import { HowYouRead } from '../Briefing';

const PAGE = 40;

export function Notes() {
  const words = appWords.value.scout;
  const [most, setMost] = useState(PAGE);
  const rows = useStored(async () => (me.value ? ownNotes(me.value.device, most) : []), [me.value?.device, most]);
  const { state } = queue.value;
  const digest = outbox.value.digest;
  const because = reason(queue.value.code);
  const stuck = because !== undefined || ['unpaired', 'revoked', 'portal', 'refused', 'full'].includes(state);
  return (
    <main class="scout notes with-bar">
      <Title text={words.nav.notes} />
      <section class="state" role="status">
        <p>
          <b>{sentence()}</b>
        </p>
        {because === undefined || state !== 'busy' ? (
          <p class={stuck ? 'attention' : 'quiet'}>{{ ...words.queue, ...setupWords.value.notes.states }[state]}</p>
        ) : null}
        {because !== undefined && <p class="attention">{because}</p>}
        {state === 'refused' && queue.value.detail !== '' && <p class="small">{queue.value.detail}</p>}
        {outbox.value.parked > 0 && <p class="attention">{words.queue.parked(outbox.value.parked)}</p>}
        {outbox.value.photos > 0 && <p class="small quiet">{words.queue.photos(outbox.value.photos)}</p>}
        {digest && (
          <p class="small quiet">
            {digest.equal ? matched(digest) : setupWords.value.notes.differs(atWhen(digest.at))}
            {digest.equal && digest.position > 0 && outbox.value.backedUpTo >= digest.position
              ? ` ${setupWords.value.notes.backedUp}`
              : ''}
          </p>
        )}
        {syncStatus.value.nextTryAt > 0 && outbox.value.pending > 0 && state !== 'syncing' && (
          <p class="small quiet">{setupWords.value.notes.nextTry(atWhen(syncStatus.value.nextTryAt))}</p>
        )}
      </section>
      <div class="menu">
        <Button size="walk" kind="main" disabled={state === 'syncing'} onClick={() => requestSync('asked')}>
          {setupWords.value.notes.tryNow}
        </Button>
        <Button size="walk" onClick={() => void unsentFile().then(handOver)}>
          {setupWords.value.notes.toFile}
        </Button>
      </div>
      <HowYouRead />
      <h2>{setupWords.value.notes.own}</h2>
      {rows?.length === 0 && <p class="quiet">{setupWords.value.notes.none}</p>}
      <ol class="facts own">
        {rows?.map((row) => (
          <OneNote key={row.id} row={row} />
        ))}
      </ol>
      {rows && rows.length >= most && (
        <Button onClick={() => setMost(most + PAGE)}>{setupWords.value.notes.older}</Button>
      )}
      <Bar />
    </main>
  );
}

function matched({ older, at }: Meta['digest']): string {
  return older ? setupWords.value.notes.sameOlder(atWhen(at)) : setupWords.value.notes.agrees(atWhen(at));
}

/** What the server's code means and what to do, where a person has to do something; undefined for the others. */
function reason(code: string): string | undefined {
  const { because } = amendWords.value;
  return Object.hasOwn(because, code) ? because[code as keyof typeof because] : undefined;
}
