/** Pairs this device by a one-time code, from a link or QR code, or typed, and asks what it is called. */
import { useState } from 'preact/hooks';
import { Button } from '../../../parts/Button';
import { say } from '../../../parts/Toast';
import { pairThisPhone } from '../../../journal/pairing';
import { ready } from '../../../journal/records/registers';
import { wake } from '../../../journal/worker/wake';
import { Refusal } from '../../../journal/wire';
import { back, go, Title } from '../../../router';
import { access, me, queue } from '../../../state';
import { appWords } from '../../../words';
import { setupWords } from '../../../words/rooms';

/** Codes are eight letters and digits; dashes and spaces are for reading. */
function plainCode(typed: string): string {
  return typed.toUpperCase().replace(/[^0-9A-Z]/g, '');
}

export function Pair({ id }: { id?: string }) {
  const words = setupWords.value.pair;
  const [code, setCode] = useState(id ?? '');
  const [name, setName] = useState(nameOfDevice());
  const [state, setState] = useState<'typing' | 'working'>('typing');
  const [trouble, setTrouble] = useState('');
  const pairNow = async () => {
    setState('working');
    setTrouble('');
    try {
      const pairing = await pairThisPhone(plainCode(code), name.trim() || nameOfDevice());
      me.value = pairing;
      access.value = '';
      wake('paired');
      // A phone may be carried out of range the moment it is paired.
      void import('../../work/scan/warm').then((it) => it.warm());
      // By now the phone may speak another language than when the code was posted: a link is followed before its words are here.
      say(setupWords.value.pair.welcome(pairing.person_name));
      go('/', { instead: true });
    } catch (error) {
      setTrouble(reason(error));
      setState('typing');
    }
  };
  const known = me.value;
  return (
    <main class="scout pair">
      <Title text={words.title} />
      {known && <p>{words.already(known.person_name, known.site_name)}</p>}
      {known && queue.value.pending > 0 && (
        <p class="attention">{words.others(queue.value.pending, known.person_name)}</p>
      )}
      <p class="quiet">{id === undefined ? words.explain : words.fromLink}</p>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          void pairNow();
        }}
      >
        <label class="field">
          <span>{words.code}</span>
          <input
            class="code"
            value={code}
            required
            autocomplete="one-time-code"
            autocapitalize="characters"
            spellcheck={false}
            aria-describedby={trouble ? 'pair-trouble' : undefined}
            onInput={(event) => setCode(event.currentTarget.value)}
          />
        </label>
        <label class="field">
          <span>{words.name}</span>
          <input value={name} maxLength={60} required onInput={(event) => setName(event.currentTarget.value)} />
          <span class="small quiet">{words.nameHint}</span>
        </label>
        {trouble && (
          <p id="pair-trouble" class="attention" role="alert">
            {trouble}
          </p>
        )}
        <Button kind="main" size="walk" submit disabled={state === 'working' || !ready.value || plainCode(code) === ''}>
          {state === 'working' ? words.working : known ? words.again : words.go}
        </Button>
      </form>
      {known && (
        <Button size="walk" onClick={() => back('/settings')}>
          {appWords.value.common.back}
        </Button>
      )}
    </main>
  );
}

function reason(error: unknown): string {
  const words = setupWords.value.pair;
  if (!(error instanceof Refusal)) return appWords.value.common.problem.unexpected;
  const because: Record<string, string> = words.because;
  if (error.problem) return because[error.problem.code] ?? `${error.problem.detail} ${error.problem.remedy}`;
  if (error.why === 'offline') return words.offline;
  if (error.why === 'slow') return words.slow;
  return error.why === 'portal' ? words.portal : words.busy;
}

/** What the device is called until somebody gives it a better name. */
function nameOfDevice(): string {
  const agent = navigator.userAgent;
  const { android, computer } = setupWords.value.pair.devices;
  if (/iPhone/.test(agent)) return 'iPhone';
  if (/iPad/.test(agent)) return 'iPad';
  return /Android/.test(agent) ? android : computer;
}
