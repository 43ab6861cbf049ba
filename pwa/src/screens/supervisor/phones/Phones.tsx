import { useState } from 'preact/hooks';
import type { PhonesView, PhoneView } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { say } from '../../../parts/Toast';
import { me } from '../../../state';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { ago, atWhen, number, when } from '../../../words/format';
import { FileIn } from './FileIn';
import { Incidents } from './Incidents';
import { refresh, send, useView } from '../../../views/views';
import { Confirm } from '../Confirm';
import { Page } from '../Page';
import { PairNew, toPairing } from './PairNew';
import { ServerClock } from './ServerClock';
import { Quarantine } from './Quarantine';

const PATH = 'phones';
const CLOCK_RIGHT_MS = 2 * 60_000;

/** Every paired device, what waits on it, and whether it agrees with the server. */
export default function Phones() {
  const loaded = useView<PhonesView>(PATH);
  return (
    <Page
      here="phones"
      title={() => supervisorWords.value.phones.title}
      loaded={loaded}
      onTryAgain={() => void refresh(PATH)}
    >
      {(view) => (
        <>
          <ServerClock clock={view.clock} path={PATH} />
          {view.quarantined.length > 0 && <Quarantine notes={view.quarantined} byDevice={view.quarantined_by_device} />}
          <Journal view={view} />
          <Devices view={view} />
          <PairNew phones={view.phones} />
          {view.quarantined.length === 0 && (
            <Quarantine notes={view.quarantined} byDevice={view.quarantined_by_device} />
          )}
          <FileIn />
          <Incidents view={view} />
        </>
      )}
    </Page>
  );
}

function Journal({ view }: { view: PhonesView }) {
  const words = supervisorWords.value.phones;
  const behind = view.head - view.backed_up_to;
  return (
    <div class="intro">
      <p>
        {words.head(number(view.head))}{' '}
        {view.backed_up_at > 0 ? words.backup(number(view.backed_up_to), atWhen(view.backed_up_at)) : words.backupNone}{' '}
        {view.backed_up_at > 0 && behind > 0 && words.backupBehind(number(behind))}
      </p>
      {view.phones.length > 0 && (
        <p class="actions">
          <Button onClick={toPairing}>{words.pairTitle}</Button>
        </p>
      )}
    </div>
  );
}

function Devices({ view }: { view: PhonesView }) {
  const words = supervisorWords.value.phones;
  const [asked, ask] = useState<PhoneView | undefined>(undefined);
  if (view.phones.length === 0) {
    return (
      <div class="empty">
        <h2>{words.emptyTitle}</h2>
        <p>{words.empty}</p>
      </div>
    );
  }
  return (
    <>
      <ul class="devices">
        {view.phones
          .toSorted((a, b) => Number(a.revoked > 0) - Number(b.revoked > 0) || b.seen_at - a.seen_at)
          .map((phone) => (
            <Device key={phone.device} phone={phone} onRevoke={() => ask(phone)} />
          ))}
      </ul>
      <Revoke phone={asked} onClose={() => ask(undefined)} />
    </>
  );
}

function Device({ phone, onRevoke }: { phone: PhoneView; onRevoke: () => void }) {
  const words = supervisorWords.value.phones;
  const waits = [
    ...(phone.pending > 0 ? [words.pendingNotes(phone.pending)] : []),
    ...(phone.photos > 0 ? [words.pendingPhotos(phone.photos)] : []),
  ];
  return (
    <li class={phone.revoked > 0 ? 'device gone' : 'device'}>
      <h2>
        {phone.name}
        {phone.device === me.value?.device && <span class="quiet"> ({words.thisOne})</span>}
      </h2>
      <p class="small quiet">
        {phone.person_name}, {roleName(phone.role)} · {words.sent(number(phone.entries))}
      </p>
      <dl>
        <div>
          <dt>{words.records}</dt>
          <dd>
            {agreement(phone)}
            {phone.equal_at > 0 && <span class="small quiet"> {words.comparedAt(atWhen(phone.equal_at))}</span>}
          </dd>
        </div>
        <div>
          <dt>{words.pending}</dt>
          <dd>
            {waits.length > 0 ? waits.join(', ') : words.pendingNone}
            <span class="small quiet"> {words.pendingAsOf}</span>
          </dd>
        </div>
        <div>
          <dt>{words.seen}</dt>
          <dd>
            {phone.seen_at > 0 ? when(phone.seen_at) : words.never}
            {phone.silent && <b class="attention"> {words.silent(ago(Math.max(phone.seen_at, phone.paired_at)))}</b>}
          </dd>
        </div>
        <div>
          <dt>{words.clock}</dt>
          <dd>
            {clock(phone.skew_ms)}
            {Math.abs(phone.skew_ms) > CLOCK_RIGHT_MS && <span class="small quiet"> {words.clockNote}</span>}
          </dd>
        </div>
      </dl>
      {phone.revoked > 0 ? (
        <p>{words.revoked(atWhen(phone.revoked))}</p>
      ) : (
        mayRevoke(phone) && (
          <Button kind="quiet" onClick={onRevoke} aria-label={words.revokeName(fullName(phone))}>
            {words.revoke}
          </Button>
        )
      )}
    </li>
  );
}

/** The server refuses the others: an owner's device is for owners, and nobody shuts out the device in their hand. */
function mayRevoke(phone: PhoneView): boolean {
  return phone.device !== me.value?.device && (phone.role !== 'owner' || me.value?.role === 'owner');
}

function Revoke({ phone, onClose }: { phone: PhoneView | undefined; onClose: () => void }) {
  const words = supervisorWords.value.phones;
  const revoke = async () => {
    if (!phone) return;
    await send(`/api/devices/${phone.device}/revoke`);
    say(words.revokeDone(fullName(phone)));
    void refresh(PATH);
  };
  return (
    <Confirm
      title={phone ? words.revokeTitle(fullName(phone)) : words.revoke}
      says={words.revokeNote}
      yes={words.revokeDo}
      open={phone !== undefined}
      onYes={revoke}
      onClose={onClose}
    />
  );
}

/** Many phones have the name of their make: to revoke the right one, its person is named too. */
function fullName(phone: PhoneView): string {
  return phone.person_name ? `${phone.name} (${phone.person_name})` : phone.name;
}

function agreement(phone: PhoneView): string {
  const words = supervisorWords.value.phones;
  if (phone.older_app) return words.sameOlder(number(phone.equal_to));
  if (phone.equal === 'equal') return words.match(number(phone.equal_to));
  return phone.equal === '' ? words.unknown : words.differ;
}

function clock(skew: number): string {
  const words = supervisorWords.value.phones;
  const off = Math.abs(skew);
  if (off <= CLOCK_RIGHT_MS) return words.clockRight;
  const minutes = Math.round(off / 60_000);
  const by =
    minutes < 120
      ? words.minutes(minutes)
      : minutes < 2880
        ? words.hours(Math.round(minutes / 60))
        : words.daysOff(Math.round(minutes / 1440));
  return skew > 0 ? words.clockAhead(by) : words.clockBehind(by);
}

function roleName(role: string): string {
  const names: { [role: string]: string | undefined } = appWords.value.common.roles;
  return names[role] ?? role;
}
