import { useState } from 'preact/hooks';
import type { HookAsk, HookSecret } from '../../../../../schema/types';
import { TextField } from '../../../forms/fields';
import { Button } from '../../../parts/Button';
import { supervisorWords } from '../../../words/supervisor';
import { send } from '../../../views/views';
import { Trouble, useSending } from '../Trouble';
import { eventName, nameTyped } from './tables';

interface Props {
  events: readonly string[];
  onMade: (made: { name: string; secret: string }) => void;
}

export function AddHook({ events, onMade }: Props) {
  const words = supervisorWords.value.hooks;
  const [name, typeName] = useState('');
  const [url, typeUrl] = useState('');
  const [chosen, choose] = useState<readonly string[]>(events);
  const [tried, setTried] = useState(false);
  const { trouble, attempt } = useSending();
  const ask: HookAsk = { name: name.trim(), url: url.trim(), events: [...chosen] };
  const named = nameTyped(ask.name);
  const hasAddress = /^https?:\/\/\S+$/.test(ask.url);
  const make = async () => {
    setTried(true);
    if (named.problem !== undefined || !hasAddress || chosen.length === 0) return;
    await attempt(async () => {
      const { secret } = await send<HookSecret>('/api/hooks', ask);
      onMade({ name: ask.name, secret });
    });
  };
  return (
    <form
      aria-label={words.add}
      onSubmit={(event) => {
        event.preventDefault();
        void make();
      }}
    >
      <TextField label={words.name} note={words.nameNote} typed={name} answer={named} tried={tried} onType={typeName} />
      <TextField
        label={words.url}
        note={words.urlNote}
        typed={url}
        answer={hasAddress || !tried ? {} : { problem: words.urlMissing }}
        tried={tried}
        onType={typeUrl}
      />
      <fieldset>
        <legend>{words.events}</legend>
        {events.map((event) => (
          <label key={event} class="check">
            <input
              type="checkbox"
              checked={chosen.includes(event)}
              onChange={({ currentTarget: { checked } }) =>
                choose(events.filter((each) => (each === event ? checked : chosen.includes(each))))
              }
            />
            <span>{eventName(event)}</span>
          </label>
        ))}
        {tried && chosen.length === 0 && (
          <p class="attention" role="alert">
            {words.eventMissing}
          </p>
        )}
      </fieldset>
      <Trouble said={trouble} />
      <div class="actions">
        <Button kind="main" submit>
          {words.put}
        </Button>
      </div>
    </form>
  );
}
