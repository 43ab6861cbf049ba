import { useState } from 'preact/hooks';
import { checkField } from '../../../../../schema/check';
import { randomId } from '../../../journal/store/device';
import { seenOf, sites } from '../../../journal/records/registers';
import { note } from '../../../journal/outbox/write';
import { Button } from '../../../parts/Button';
import { say } from '../../../parts/Toast';
import { supervisorWords } from '../../../words/supervisor';
import { Trouble } from '../Trouble';

/** What the nursery is called, on every page's head and on what is printed. */
export function NurseryName() {
  const words = supervisorWords.value.sheet;
  const [site] = sites.value.values();
  const [typed, type] = useState<string | undefined>(undefined);
  const [trouble, setTrouble] = useState('');
  const name = typed ?? site?.name ?? '';
  const keep = async () => {
    const wanted = name.trim();
    if (wanted === '' || checkField('site', 'name', wanted)) {
      setTrouble(words.nurseryMissing);
      return;
    }
    try {
      const of = site?.id ?? randomId();
      await note('site', { of, saw: seenOf('site', of, ['name']), name: wanted });
      setTrouble('');
      type(undefined);
      say(words.nurserySaved);
    } catch {
      setTrouble(words.failed);
    }
  };
  return (
    <form
      class="nursery-name"
      onSubmit={(event) => {
        event.preventDefault();
        void keep();
      }}
    >
      <label class="ask">
        <span>{words.nursery}</span>
        <input type="text" value={name} onInput={(event) => type(event.currentTarget.value)} />
      </label>
      <Button submit disabled={typed === undefined || typed.trim() === site?.name}>
        {words.nurserySave}
      </Button>
      <Trouble said={trouble} />
    </form>
  );
}
