import { useEffect, useRef, useState } from 'preact/hooks';
import { encode } from 'uqr';
import type { Pairing, PairingAsk, PhoneView } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { Choice } from '../../../parts/Choice';
import { firstField, whereLost } from '../../../parts/focus';
import { route } from '../../../router';
import { me } from '../../../state';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { untilWhen } from '../../../words/format';
import { send } from '../../../views/views';
import { people as registered } from '../../../journal/records/registers';
import { peopleHere } from '../names';
import { Section } from '../Page';
import { inWords, Trouble } from '../Trouble';

type Role = PairingAsk['role'];

/** Makes a one-time code to pair a phone, for somebody known or somebody new. */
export function PairNew({ phones }: { phones: readonly PhoneView[] }) {
  const words = supervisorWords.value.phones;
  // Whoever pairs a device writes in its person's name: in an owner's, only an owner.
  const owners = new Set(phones.filter((phone) => phone.role === 'owner').map((phone) => phone.person));
  const known = [
    ...peopleHere().map(({ id, name }): [string, string] => [id, name]),
    ...phones.map((phone): [string, string] => [phone.person, phone.person_name]),
  ];
  const people = new Map(
    known.filter(
      ([id]) => id !== '' && (me.value?.role === 'owner' || !owners.has(id)) && !registered.value.get(id)?.left,
    ),
  );
  const roles: readonly Role[] =
    me.value?.role === 'owner' ? ['scout', 'supervisor', 'owner'] : ['scout', 'supervisor'];
  const roleOf = (id: string): Role => roles.find((each) => each === registered.value.get(id)?.role) ?? 'scout';
  // Whoever comes from somebody's row has said whose device it is.
  const asked = route.value.query.get('pair') ?? '';
  const [person, setPerson] = useState(people.has(asked) ? asked : '');
  const [name, setName] = useState('');
  const [role, setRole] = useState<Role>(roleOf(person));
  const [trouble, setTrouble] = useState('');
  const [made, setMade] = useState<Pairing | undefined>(undefined);
  const make = async () => {
    const written = name.trim();
    if (person === '' && (written === '' || written.length > 80)) {
      setTrouble(words.pairNeedsName);
      return;
    }
    setTrouble('');
    const ask: PairingAsk = person === '' ? { name: written, role } : { person, role };
    try {
      setMade(await send<Pairing>('/api/pairings', ask));
    } catch (error) {
      setTrouble(inWords(error));
    }
  };
  const again = () => {
    setMade(undefined);
    whereLost(() => firstField(document.querySelector('.pairing form')));
  };
  useEffect(() => {
    if (asked !== '') toPairing();
  }, []);
  return (
    <Section title={words.pairTitle} class="pairing">
      {made ? (
        <Made pairing={made} onAgain={again} />
      ) : (
        <form
          onSubmit={(event) => {
            event.preventDefault();
            void make();
          }}
        >
          <p class="quiet">{words.pairIntro}</p>
          <label class="ask">
            <span>{words.pairWho}</span>
            <select
              value={person}
              onChange={({ currentTarget: { value } }) => {
                setPerson(value);
                setRole(roleOf(value));
              }}
            >
              <option value="">{words.pairNew}</option>
              {[...people].map(([id, known]) => (
                <option key={id} value={id}>
                  {known}
                </option>
              ))}
            </select>
          </label>
          {person === '' && (
            <label class="ask">
              <span>
                {words.pairName} <span class="small quiet">{words.pairNameHint}</span>
              </span>
              <input
                type="text"
                autoComplete="off"
                maxLength={80}
                value={name}
                onInput={(event) => setName(event.currentTarget.value)}
              />
            </label>
          )}
          <Choice
            legend={words.pairRole}
            size="tap"
            options={roles.map((value) => ({
              value,
              label: appWords.value.common.roles[value],
              hint: words.roleHint[value],
            }))}
            value={role}
            onChoose={setRole}
          />
          <Trouble said={trouble} />
          <div class="actions">
            <Button kind="main" submit>
              {words.pairMake}
            </Button>
          </div>
        </form>
      )}
    </Section>
  );
}

/** Goes to the form, which stands under all devices. */
export function toPairing(): void {
  firstField(document.querySelector('.pairing form'))?.focus();
  document.querySelector('.pairing')?.scrollIntoView({ block: 'center' });
}

function Made({ pairing, onAgain }: { pairing: Pairing; onAgain: () => void }) {
  const words = supervisorWords.value.phones;
  const own = useRef<HTMLDivElement>(null);
  // The button that made it is gone.
  useEffect(() => whereLost(() => own.current?.querySelector('button') ?? null), []);
  return (
    <div class="made" ref={own}>
      <QrCode text={pairing.link} name={words.pairQr(pairing.code)} />
      <div>
        <p>{words.pairScan}</p>
        <p class="pairing-code">
          <span class="small quiet">{words.pairCode}</span> <b>{pairing.code}</b>
        </p>
        <p class="small quiet">
          {words.pairUntil(untilWhen(pairing.until))}
          <br />
          {words.pairLink}: {pairing.link}
        </p>
        <Button onClick={onAgain}>{words.pairAgain}</Button>
      </div>
    </div>
  );
}

/** Black on white in every theme, since cameras look for that, with the quiet zone of four modules that readers need. */
function QrCode({ text, name }: { text: string; name: string }) {
  const { data, size } = encode(text, { border: 4 });
  const path = data.flatMap((row, y) => row.flatMap((dark, x) => (dark ? [`M${x} ${y}h1v1h-1z`] : []))).join('');
  return (
    <svg class="qr" viewBox={`0 0 ${size} ${size}`} role="img" aria-label={name} shape-rendering="crispEdges">
      <rect width={size} height={size} fill="#ffffff" />
      <path d={path} fill="#000000" />
    </svg>
  );
}
