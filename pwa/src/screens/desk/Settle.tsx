import { useState } from 'preact/hooks';
import type { Authorship, EntryBody, Field, LotView } from '../../../../schema/types';
import { note } from '../../journal/write';
import { Button } from '../../parts/Button';
import { say } from '../../parts/Toast';
import { t } from '../../words';
import { d } from '../../words/desk';
import { stamp } from '../../words/format';
import { lotField, word } from './saying';
import { Section } from './Page';

/** Fields in which people disagree, each settled by one tap. The choice names every value that was seen. */
export function Settle({ view }: { view: LotView }) {
  const words = d.value.lot;
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set());
  const [failed, setFailed] = useState(false);
  const open = Object.entries(view.record.register?.fields ?? {}).filter(
    ([name, field]) => (field.others?.length ?? 0) > 0 && !chosen.has(stateOf(name, field)),
  );
  if (open.length === 0) return null;
  const keep = async (name: string, field: Field, value: unknown) => {
    try {
      const body = { of: view.lot.id, saw: field.live, [name]: value } as EntryBody['lot'];
      await note('lot', body, { lot: view.lot.id });
      setChosen(new Set([...chosen, stateOf(name, field)]));
      say(
        words.settled(
          word(words.field, name),
          lotField(name, value, (id) => lotTag(view, id)),
        ),
      );
    } catch {
      setFailed(true);
    }
  };
  return (
    <Section title={words.settleTitle} class="settle">
      <p>{words.settleIntro}</p>
      {failed && (
        <p class="attention" role="alert">
          {words.settleFailed}
        </p>
      )}
      {open.map(([name, field]) => (
        <fieldset key={name}>
          <legend>{word(words.field, name)}</legend>
          <ul>
            {[
              { value: field.value, by: field.by, shown: true },
              ...(field.others ?? []).map((other) => ({ ...other, shown: false })),
            ].map(({ value, by, shown }) => {
              const written = lotField(name, value, (id) => lotTag(view, id));
              return (
                <li key={by.entry}>
                  <p>
                    <b>{written}</b>
                    {shown && <span class="small quiet"> · {words.settleShown}</span>}
                    <br />
                    <span class="small quiet">{whoWhen(view, by)}</span>
                  </p>
                  <Button onClick={() => void keep(name, field, value)}>{words.settleKeep(written)}</Button>
                </li>
              );
            })}
          </ul>
        </fieldset>
      ))}
    </Section>
  );
}

/** A field as it was when somebody chose; a later write opens it again. */
function stateOf(name: string, field: Field): string {
  return `${name} ${field.live.join(' ')}`;
}

export function whoWhen(view: LotView, by: Authorship): string {
  return d.value.lot.settleBy(view.people[by.person] ?? t.value.common.unknown, stamp(by.stamp));
}

export function lotTag(view: LotView, id: string): string {
  const known = [view.parent, ...view.children].find((lot) => lot?.id === id);
  return known ? d.value.desk.lotName(known.tag) : t.value.common.unknown;
}
