import { useEffect, useState } from 'preact/hooks';
import { importsHere, importToUndo, type Imported } from '../../../journal/records/imports';
import { subscribe } from '../../../journal/store/changes';
import { people } from '../../../journal/records/registers';
import { voidSaved } from '../../../forms/saving';
import { Button } from '../../../parts/Button';
import { placeAfter } from '../../../parts/focus';
import { appWords } from '../../../words';
import { atWhen } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { Section } from '../Page';
import { Trouble } from '../Trouble';

/** What was brought in on any device, each to be struck out as one while nothing was noted about it since. */
export function Imports() {
  const words = supervisorWords.value.sheet;
  const [all, setAll] = useState<Imported[]>([]);
  const [trouble, setTrouble] = useState('');
  useEffect(() => {
    let current = true;
    const read = () =>
      void importsHere().then(
        (found) => current && setAll(found),
        () => undefined,
      );
    read();
    const end = subscribe(read);
    return () => {
      current = false;
      end();
    };
  }, []);
  if (all.length === 0) return null;
  const undo = async (one: Imported, goOn: () => void) => {
    const found = await importToUndo(one);
    // The note that names the sheet is one of them.
    if (!found || found.notes.length <= one.of.notes) setTrouble(words.undoPart);
    else if (found.since.length > 0) setTrouble(words.undoSince(found.since.length));
    else {
      setTrouble('');
      await voidSaved(found.notes, words.undone);
      goOn();
    }
  };
  return (
    <Section title={words.imports}>
      <p class="small quiet">{words.importsNote}</p>
      <ul class="ruled narrow">
        {all.map((one) => (
          <li key={one.entry}>
            <span>
              {one.words}{' '}
              <span class="small quiet">
                {atWhen(one.at)}, {people.value.get(one.person)?.name ?? appWords.value.common.unknown}
              </span>
            </span>
            <Button
              onClick={({ currentTarget }) => void undo(one, placeAfter(currentTarget.closest('li')))}
              aria-label={`${words.undoImport}: ${one.words}`}
            >
              {words.undoImport}
            </Button>
          </li>
        ))}
      </ul>
      <Trouble said={trouble} />
    </Section>
  );
}
