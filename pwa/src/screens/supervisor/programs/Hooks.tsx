/** Addresses that get a message when something happens: added, tested, switched, given a new secret, with the log of what was sent. */
import { useState } from 'preact/hooks';
import type { Hook, Hooks as HookList, HookSecret, HookTry } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { DataTable } from '../../../parts/DataTable';
import { atWhen, list, number, untilWhen, when } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { send } from '../../../views/views';
import { Confirm } from '../Confirm';
import { Section } from '../Page';
import { Trouble, useSending } from '../Trouble';
import { useAsked } from './asked';
import { AddHook } from './AddHook';
import { Once } from './Once';
import { eventName } from './tables';

interface Shown {
  name: string;
  secret: string;
}

export function Hooks() {
  const words = supervisorWords.value.hooks;
  const { loaded, again } = useAsked<HookList>('/api/hooks');
  const [shown, show] = useState<Shown | undefined>(undefined);
  const { view } = loaded;
  if (!view) return null;
  return (
    <Section title={words.title}>
      <p>{words.intro}</p>
      {shown ? (
        <>
          <Once label={words.secretTitle(shown.name)} text={shown.secret} />
          <p class="attention">{words.secretHow}</p>
          <Button onClick={() => show(undefined)}>{words.another}</Button>
        </>
      ) : (
        <AddHook
          events={view.events}
          onMade={(made) => {
            show(made);
            void again();
          }}
        />
      )}
      {view.hooks.length === 0 && <p class="quiet">{words.none}</p>}
      <ul class="ruled">
        {view.hooks.map((hook) => (
          <OneHook key={hook.id} of={hook} all={view.events.length} onChange={again} onSecret={show} />
        ))}
      </ul>
    </Section>
  );
}

interface OneProps {
  of: Hook;
  /** How many kinds of message there are. */
  all: number;
  onChange: () => Promise<void>;
  onSecret: (shown: Shown) => void;
}

function OneHook({ of, all, onChange, onSecret }: OneProps) {
  const words = supervisorWords.value.hooks;
  const { trouble, attempt } = useSending();
  const [said, say] = useState('');
  const [asked, ask] = useState<'rotate' | 'remove' | undefined>(undefined);
  const path = `/api/hooks/${of.id}`;
  const named = (what: string) => words.of(what, of.name);
  const does = (what: () => Promise<void>) =>
    attempt(async () => {
      await what();
      await onChange();
    });
  const test = () =>
    does(async () => {
      const tried = await send<HookTry>(`${path}/test`);
      say(tried.ok ? words.tested(tried.status, number(tried.ms)) : words.notTaken(resultOf(tried)));
    });
  const rotate = async () => {
    const { secret } = await send<HookSecret>(`${path}/secret`);
    onSecret({ name: of.name, secret });
    void onChange();
  };
  const remove = async () => {
    await send(`${path}/remove`);
    void onChange();
  };
  return (
    <li class="hook">
      <div>
        <b>{of.name}</b>{' '}
        <span class="quiet">
          {of.events.length === all ? words.tellsAll : words.tells(list(of.events.map((each) => eventName(each))))}
        </span>
        <br />
        <span class="small quiet">{of.url}</span>
        <State of={of} />
      </div>
      <div class="actions">
        <Button onClick={() => void test()} aria-label={words.testOf(of.name)}>
          {words.test}
        </Button>
        <Button
          aria-label={named(of.state === 'on' ? words.turnOff : words.turnOn)}
          onClick={() => void does(() => send(`${path}/switch`, { on: of.state !== 'on' }))}
        >
          {of.state === 'on' ? words.turnOff : words.turnOn}
        </Button>
        <Button kind="quiet" onClick={() => ask('rotate')} aria-label={named(words.rotate)}>
          {words.rotate}
        </Button>
        <Button kind="quiet" onClick={() => ask('remove')} aria-label={named(words.remove)}>
          {words.remove}
        </Button>
      </div>
      <p role="status">{said}</p>
      <Trouble said={trouble} />
      {of.tries.length > 0 && <Log of={of} />}
      <Confirm
        title={words.rotateAsk(of.name)}
        says={words.rotateSays}
        yes={words.rotateYes}
        open={asked === 'rotate'}
        onYes={rotate}
        onClose={() => ask(undefined)}
      />
      <Confirm
        title={words.removeAsk(of.name)}
        says={words.removeSays}
        yes={words.removeYes}
        open={asked === 'remove'}
        onYes={remove}
        onClose={() => ask(undefined)}
      />
    </li>
  );
}

function State({ of }: { of: Hook }) {
  const words = supervisorWords.value.hooks;
  const why = of.why === 'gone' || of.why === 'queue' ? of.why : 'tries';
  return (
    <>
      {of.state === 'off' && <span class="block">{words.off}</span>}
      {of.state === 'failed' && (
        <span class="attention block">
          {words.failed[why](atWhen(of.changed_at))} {words.lost}
        </span>
      )}
      {of.state === 'on' && of.failing_since > 0 && (
        <span class="attention block">{words.failing(untilWhen(of.failing_since))}</span>
      )}
      {of.waiting > 0 && <span class="block">{words.waiting(of.waiting)}</span>}
      {of.old_until > Date.now() && <span class="small quiet block">{words.oldUntil(untilWhen(of.old_until))}</span>}
    </>
  );
}

/** The server's own words for what went wrong are English, as the standard's are. */
function resultOf(tried: HookTry): string {
  const words = supervisorWords.value.hooks;
  const parts = [...(tried.status > 0 ? [words.answered(tried.status)] : []), ...(tried.error ? [tried.error] : [])];
  return parts.join(', ');
}

function Log({ of }: { of: Hook }) {
  const words = supervisorWords.value.hooks;
  return (
    <details>
      <summary>{words.log}</summary>
      <DataTable
        caption={words.logOf(of.name)}
        keyOf={(tried) => `${tried.message} ${tried.at} ${tried.try}`}
        rows={of.tries}
        stacks
        columns={[
          { key: 'at', title: words.at, cell: (tried) => when(tried.at), whole: true },
          {
            key: 'what',
            title: words.what,
            cell: (tried) => (tried.type === 'test.ping' ? words.ping : eventName(tried.type)),
          },
          { key: 'try', title: words.try, cell: (tried) => number(tried.try), numeric: true },
          { key: 'result', title: words.result, cell: (tried) => (tried.ok ? words.taken : resultOf(tried)) },
          { key: 'ms', title: words.took, cell: (tried) => number(tried.ms), numeric: true },
        ]}
      />
    </details>
  );
}
