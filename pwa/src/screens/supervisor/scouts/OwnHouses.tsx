/** Which houses each scout walks: the scout's phone lists these beds and keeps these notes, and any other house can be opened on it. */
import { useState } from 'preact/hooks';
import { housesOf } from '../../../../../sync/fold/ownHouses';
import { houses, recordOf, seenOf } from '../../../journal/records/registers';
import { intent } from '../../../journal/outbox/write';
import { saveForm } from '../../../forms/saving';
import { Button } from '../../../parts/Button';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { peopleHere } from '../names';
import { Section } from '../Page';

export function OwnHouses() {
  const words = supervisorWords.value.pages.scoutsPage;
  const scouts = peopleHere().filter(({ role }) => role === 'scout');
  if (scouts.length === 0 || houses.value.size < 2) return null;
  return (
    <Section title={words.housesTitle}>
      <p class="small quiet">{words.housesNote}</p>
      <div class="own-houses">
        {scouts.map(({ id, name }) => (
          <OneScout key={id} person={id} name={name} />
        ))}
      </div>
    </Section>
  );
}

/** What is ticked and not yet saved, and which values were in force when the ticking began. */
interface Ticked {
  houses: readonly string[];
  saw: string[];
}

function OneScout({ person, name }: { person: string; name: string }) {
  const words = supervisorWords.value.pages.scoutsPage;
  const [ticked, tick] = useState<Ticked | undefined>(undefined);
  const record = recordOf('person', person);
  const given = [...new Set(housesOf(record))];
  const isDisputed = (record?.register?.fields['houses']?.others?.length ?? 0) > 0;
  const now = ticked?.houses ?? given;
  const known = [...houses.value.values()].sort(
    (a, b) => (a.order ?? Number.MAX_SAFE_INTEGER) - (b.order ?? Number.MAX_SAFE_INTEGER),
  );
  const toggle = (house: string) => {
    const next = now.includes(house) ? now.filter((each) => each !== house) : [...now, house];
    tick({ houses: next, saw: ticked?.saw ?? seenOf('person', person, ['houses']) });
  };
  const save = async ({ houses: chosen, saw }: Ticked) => {
    const body = { of: person, saw, houses: [...chosen].sort() };
    const saved = await saveForm(`houses ${person}`, [intent('person', body)], words.housesSaved(name));
    if (saved) tick(undefined);
  };
  return (
    <fieldset>
      <legend>{name}</legend>
      {known.map((house) => (
        <label key={house.id} class="tick">
          <input type="checkbox" checked={now.includes(house.id)} onChange={() => toggle(house.id)} />
          <span>{supervisorWords.value.pages.houseName(house.name ?? '')}</span>
        </label>
      ))}
      <p class="small quiet">{now.length === 0 ? words.housesAll : words.housesSome}</p>
      {isDisputed && <p class="small attention">{words.housesDiffer}</p>}
      {(ticked || isDisputed) && (
        <div class="actions">
          {ticked && (
            <Button kind="quiet" onClick={() => tick(undefined)}>
              {appWords.value.common.cancel}
            </Button>
          )}
          <Button
            kind="main"
            onClick={() => void save(ticked ?? { houses: given, saw: seenOf('person', person, ['houses']) })}
          >
            {words.housesSave(name)}
          </Button>
        </div>
      )}
    </fieldset>
  );
}
