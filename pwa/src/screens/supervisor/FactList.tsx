import { useState } from 'preact/hooks';
import type { Photo, Record as Kept } from '../../../../schema/types';
import { appWords } from '../../words';
import { supervisorWords } from '../../words/supervisor';
import { stamp } from '../../words/format';
import { kindName, describeEntry } from '../../words/entry';

interface Props {
  facts: readonly Kept[];
  people: { [person: string]: string };
  none: string;
}

/** Notes that are not pots: readings, steps, applications, words. Newest first; struck-out ones stay, and say so. */
export function FactList({ facts, people, none }: Props) {
  const words = supervisorWords.value.lot;
  const shown = facts
    .flatMap(({ key, fact }) => (fact ? [{ key, fact }] : []))
    .sort((a, b) => b.fact.by.stamp.at - a.fact.by.stamp.at);
  if (shown.length === 0) return <p class="quiet">{none}</p>;
  return (
    <ul class="entries">
      {shown.map(({ key, fact }) => (
        <li key={key} class={fact.voided ? 'undone' : ''}>
          <p>
            <b>{kindName(fact.kind)}</b> {describeEntry(fact.kind, fact.body)}
          </p>
          {fact.kind === 'photo' && <Picture of={fact.body as Photo} />}
          <p class="small quiet">
            {people[fact.by.person] ?? appWords.value.common.unknown}, {stamp(fact.by.stamp)}
            {fact.voided && ` · ${words.voided(reason(fact.voided.why))}`}
          </p>
        </li>
      ))}
    </ul>
  );
}

/** The note may be here before its picture: then the words stand alone. */
function Picture({ of }: { of: Photo }) {
  const [there, setThere] = useState(true);
  if (!there) return <p class="small quiet">{supervisorWords.value.lot.photoLater}</p>;
  return (
    <img
      class="photo"
      src={`/api/photos/${of.hash}`}
      width={of.wide_px}
      height={of.high_px}
      alt={of.words ?? supervisorWords.value.lot.kind.photo}
      loading="lazy"
      onError={() => setThere(false)}
    />
  );
}

function reason(why: string): string {
  const words: { [why: string]: string | undefined } = appWords.value.common.voidWhy;
  return words[why] ?? why;
}
