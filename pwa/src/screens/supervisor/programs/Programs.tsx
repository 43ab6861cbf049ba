/** How other programs read what the nursery has: keys that only read, and addresses for spreadsheets. */
import { useState } from 'preact/hooks';
import type { ReadingKey, ReadingKeys } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { me } from '../../../state';
import { appWords } from '../../../words';
import { atWhen, when } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { send } from '../../../views/views';
import { Confirm } from '../Confirm';
import { Page, Section } from '../Page';
import { SetupParts } from '../setup/SetupParts';
import { useAsked } from './asked';
import { Hooks } from './Hooks';
import { MakeKey } from './MakeKey';
import { tableName } from './tables';
import '../../../style/supervisor-programs.css';

export default function Programs() {
  const { loaded, again } = useAsked<ReadingKeys>('/api/keys');
  const title = () => supervisorWords.value.programs.title;
  return (
    <Page here="setup" title={title} loaded={loaded} onTryAgain={() => void again()}>
      {(view) => (
        <div class="programs">
          <SetupParts here="programs" />
          <p class="intro">{supervisorWords.value.programs.intro}</p>
          <MakeKey tables={view.tables} onMade={() => void again()} />
          <Keys keys={view.keys} onChange={again} />
          {me.value?.role === 'owner' ? <Hooks /> : <HooksAreOwners />}
          <ForWriters />
        </div>
      )}
    </Page>
  );
}

/** Whoever looks for webhooks learns who may add one. */
function HooksAreOwners() {
  const words = supervisorWords.value.hooks;
  return (
    <Section title={words.title}>
      <p class="quiet">{words.ownersOnly}</p>
    </Section>
  );
}

/** The description is the server's own page, not one of the app's. */
function ForWriters() {
  const words = supervisorWords.value.programs;
  return (
    <Section title={words.write}>
      <p>{words.writeSays}</p>
      <p class="actions">
        <a class="button plain tap" href="/api/reference">
          {words.read}
        </a>
        <a class="button quiet tap" href="/api/openapi.json">
          {words.raw}
        </a>
      </p>
    </Section>
  );
}

function Keys({ keys, onChange }: { keys: readonly ReadingKey[]; onChange: () => Promise<void> }) {
  const words = supervisorWords.value.programs;
  const [asked, ask] = useState<ReadingKey | undefined>(undefined);
  const past = keys.filter(({ revoked }) => revoked > 0);
  const inUse = keys.filter(({ revoked }) => revoked === 0);
  const revoke = async () => {
    await send(`/api/keys/${asked?.id ?? ''}/revoke`);
    void onChange();
  };
  return (
    <Section title={words.keys}>
      {inUse.length === 0 && <p class="quiet">{words.none}</p>}
      <ul class="ruled">
        {inUse.map((key) => (
          <OneKey key={key.id} of={key} onRevoke={() => ask(key)} />
        ))}
      </ul>
      {past.length > 0 && (
        <details>
          <summary>{words.past}</summary>
          <ul class="ruled">
            {past.map((key) => (
              <OneKey key={key.id} of={key} />
            ))}
          </ul>
        </details>
      )}
      <Confirm
        title={words.revokeAsk(asked?.name ?? '')}
        says={words.revokeSays}
        yes={words.revokeYes}
        open={asked !== undefined}
        onYes={revoke}
        onClose={() => ask(undefined)}
      />
    </Section>
  );
}

function OneKey({ of, onRevoke }: { of: ReadingKey; onRevoke?: () => void }) {
  const words = supervisorWords.value.programs;
  const reads = of.table === '' ? words.readsAll : words.readsTable(tableName(of.table));
  const about = of.people && of.table === '' ? [words.readsPeople] : [];
  return (
    <li>
      <span>
        <b>{of.name}</b> <span class="quiet">{[reads, ...about].join(', ')}</span>
        <br />
        <span class="small quiet">
          {words.madeBy(of.made_by_name || appWords.value.common.unknown, when(of.made_at))} ·{' '}
          {of.used_at > 0 ? words.used(when(of.used_at)) : words.unused}
        </span>
        {of.revoked > 0 && <span class="small quiet"> · {words.revoked(atWhen(of.revoked))}</span>}
        {of.orphaned && of.revoked === 0 && <span class="attention block">{words.orphaned}</span>}
      </span>
      {onRevoke && (
        <Button kind="quiet" onClick={onRevoke} aria-label={words.revokeOf(of.name)}>
          {words.revoke}
        </Button>
      )}
    </li>
  );
}
