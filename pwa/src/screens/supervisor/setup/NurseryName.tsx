import { useMemo, useState } from 'preact/hooks';
import { checkField } from '../../../../../schema/check';
import { randomId } from '../../../journal/store/device';
import { people, seenOf, sites } from '../../../journal/records/registers';
import { intent, save } from '../../../journal/outbox/write';
import { SelectField, TextField } from '../../../forms/fields';
import { Button } from '../../../parts/Button';
import { firstField, whereLost } from '../../../parts/focus';
import { notSaved, say } from '../../../parts/Toast';
import { me } from '../../../state';
import { supervisorWords } from '../../../words/supervisor';
import '../../../style/supervisor-sheet.css';
import { Trouble } from '../Trouble';

/** What the nursery is called, on every page's head and on what is printed, and where it is: by whose midnights days are counted. */
export function NurseryName() {
  const words = supervisorWords.value.sheet;
  const [site] = sites.value.values();
  const [typed, type] = useState<string | undefined>(undefined);
  const [chosen, choose] = useState<string | undefined>(undefined);
  const [own, setOwn] = useState<string | undefined>(undefined);
  const [trouble, setTrouble] = useState('');
  const mine = people.value.get(me.value?.person ?? '');
  const zones = useMemo(() => zonesWith(site?.time_zone), [site?.time_zone]);
  const name = typed ?? site?.name ?? '';
  const zone = chosen ?? site?.time_zone ?? ownZone(zones);
  const wanted = name.trim();
  const called = (own ?? mine?.name ?? '').trim();
  const changes = {
    ...(wanted === site?.name ? {} : { name: wanted }),
    ...(zone === '' || zone === site?.time_zone ? {} : { time_zone: zone }),
  };
  const isChanged = Object.keys(changes).length > 0;
  const isRenamed = own !== undefined && called !== mine?.name;
  const keep = async () => {
    if (wanted === '' || checkField('site', 'name', wanted)) {
      setTrouble(words.nurseryMissing);
      return;
    }
    if (mine && (called === '' || checkField('person', 'name', called))) {
      setTrouble(supervisorWords.value.nursery.yourNameMissing);
      return;
    }
    try {
      const of = site?.id ?? randomId();
      await save([
        ...(isChanged ? [intent('site', { of, saw: seenOf('site', of, Object.keys(changes)), ...changes })] : []),
        ...(mine && isRenamed
          ? [intent('person', { of: mine.id, saw: seenOf('person', mine.id, ['name']), name: called })]
          : []),
      ]);
      setTrouble('');
      type(undefined);
      setOwn(undefined);
      choose(undefined);
      say(words.nurserySaved);
    } catch (error) {
      setTrouble(notSaved(error));
    }
  };
  return (
    <form
      class="nursery-name on-paper"
      onSubmit={(event) => {
        event.preventDefault();
        const fields = event.currentTarget;
        // Saved, the button that was pressed is disabled until something is changed again.
        void keep().then(() => whereLost(() => firstField(fields)));
      }}
    >
      <TextField label={words.nursery} typed={name} answer={{}} tried={false} onType={type} capitals="words" />
      {mine && (
        <TextField
          label={supervisorWords.value.nursery.yourName}
          typed={own ?? mine.name ?? ''}
          answer={{}}
          tried={false}
          onType={setOwn}
          capitals="words"
        />
      )}
      <SelectField
        label={words.zone}
        value={zone}
        {...(zone === '' ? { none: words.zoneNone } : {})}
        options={zones.map((each) => ({ value: each, label: each.replaceAll('_', ' ') }))}
        onChoose={choose}
      />
      <Button submit disabled={!isChanged && !isRenamed}>
        {words.nurserySave}
      </Button>
      <p class="small quiet">{words.zoneNote}</p>
      <Trouble said={trouble} />
    </form>
  );
}

/** The time zones of the IANA database that this browser knows, and the one that is set. */
function zonesWith(set: string | undefined | null): string[] {
  return [...new Set([...Intl.supportedValuesOf('timeZone'), 'UTC', ...(set ? [set] : [])])].sort();
}

/** This computer's own zone; '' where it knows none that has a name. */
function ownZone(zones: readonly string[]): string {
  const own = new Intl.DateTimeFormat().resolvedOptions().timeZone;
  return zones.includes(own) ? own : '';
}
