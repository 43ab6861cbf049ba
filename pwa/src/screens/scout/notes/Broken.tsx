/** The phone's database cannot be read at the start: what is safe, what may be at stake, and what to do, in that order. */
import { useState } from 'preact/hooks';
import { Button } from '../../../parts/Button';
import { salvage, type Salvaged } from '../../../journal/recovery/export';
import { lastCount } from '../../../journal/outbox/outbox';
import { failed } from '../../../journal/start';
import { Title } from '../../../router';
import { appWords } from '../../../words';
import { brokenWords } from '../../../words/rooms';
import { dateTime } from '../../../words/format';
import { handOver } from './handOver';

export function Broken() {
  const words = brokenWords.value;
  const older = failed.value === 'older';
  return (
    <main class="scout">
      <Title text={older ? words.olderTitle : words.title} />
      <p>{older ? words.older : words.explain}</p>
      <section>
        <h2>{words.safe}</h2>
        <p>{words.sent}</p>
        <p>
          <b>{unsent()}</b>
        </p>
      </section>
      <section>
        <h2>{words.todo}</h2>
        <p class="attention">{words.never}</p>
        <ol class="in-order">
          {(older ? words.stepsOlder : words.steps).map((step) => (
            <li key={step}>{step}</li>
          ))}
        </ol>
        <Button kind="main" size="walk" onClick={() => location.reload()}>
          {appWords.value.common.tryAgain}
        </Button>
        <ToFile />
        <p class="small quiet">{words.supervisor}</p>
      </section>
    </main>
  );
}

function unsent(): string {
  const words = brokenWords.value;
  const last = lastCount();
  if (!last) return words.neverCounted;
  return last.pending > 0 ? words.waited(last.pending, dateTime(last.at)) : words.allSent(dateTime(last.at));
}

function ToFile() {
  const words = brokenWords.value;
  const [made, setMade] = useState<Salvaged | undefined>(undefined);
  const [busy, setBusy] = useState(false);
  const save = async () => {
    setBusy(true);
    const found = await salvage();
    setBusy(false);
    setMade(found);
    if (found.notes > 0) await handOver(found.file);
  };
  return (
    <>
      <Button size="walk" disabled={busy} onClick={() => void save()}>
        {words.toFile}
      </Button>
      <p role="status">
        {made && (made.notes > 0 ? words.inFile(made.notes) : words.nothingRead)}{' '}
        {made && made.unread > 0 && words.unread(made.unread)}
      </p>
    </>
  );
}
