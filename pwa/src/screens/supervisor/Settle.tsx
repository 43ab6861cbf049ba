import { useState } from 'preact/hooks';
import type { Authorship, EntryBody, Field, LotView } from '../../../../schema/types';
import { note } from '../../journal/outbox/write';
import { Button } from '../../parts/Button';
import { placeAfter } from '../../parts/focus';
import { say } from '../../parts/Toast';
import { appWords } from '../../words';
import { supervisorWords } from '../../words/supervisor';
import { stamp } from '../../words/format';
import { lotField, word } from '../../words/entry';
import { takeBackField } from './lot/takeBack';
import { whatDecides } from './lot/whatDecides';
import { Section } from './Page';
import { Trouble } from './Trouble';

/** Fields of a lot in which people disagree. */
export function Settle({ view }: { view: LotView }) {
  return (
    <Disagreements
      kind="lot"
      of={view.lot.id}
      fields={view.record.register?.fields ?? {}}
      nameOf={(field) => word(supervisorWords.value.lot.field, field)}
      say={(field, value) => lotField(field, value, (id) => lotTag(view, id))}
      who={(by) => whoWhen(view, by)}
      decides={(field, { value, others = [] }) => whatDecides(view, field, [value, ...others.map((one) => one.value)])}
    />
  );
}

interface Props {
  kind: 'lot' | 'profile' | 'cultivar';
  of: string;
  fields: { readonly [name: string]: Field };
  nameOf: (field: string) => string;
  say: (field: string, value: unknown) => string;
  /** A value on its button, where all of it would be too long. */
  short?: (field: string, value: unknown, by: Authorship) => string;
  who: (by: Authorship) => string;
  /** What would tell which value is right, in sentences. */
  decides?: (name: string, field: Field) => readonly string[];
}

/** Fields of one thing in which people disagree, each settled by one tap. The choice names every value that was seen. */
export function Disagreements({ kind, of, fields, nameOf, say: written, short = written, who, decides }: Props) {
  const words = supervisorWords.value.lot;
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set());
  const [failed, setFailed] = useState(false);
  const open = Object.entries(fields).filter(
    ([name, field]) => (field.others?.length ?? 0) > 0 && !chosen.has(stateOf(name, field)),
  );
  if (open.length === 0) return null;
  const keep = async (name: string, field: Field, value: unknown, said: string) => {
    try {
      const body = { of, saw: field.live, [name]: value } as EntryBody['lot'] &
        EntryBody['profile'] &
        EntryBody['cultivar'];
      const saved = await note(kind, body, kind === 'lot' ? { lot: of } : {});
      const goOn = placeAfter(document.activeElement?.closest('fieldset'));
      setChosen((all) => new Set([...all, stateOf(name, field)]));
      goOn();
      const back = () => {
        setChosen((all) => new Set([...all].filter((each) => each !== stateOf(name, field))));
        void takeBackField(kind, of, saved.entry.id, nameOf(name));
      };
      say(words.settled(nameOf(name), said), back);
    } catch {
      setFailed(true);
    }
  };
  return (
    <Section title={words.settleTitle} class="settle">
      <p>{words.settleIntro}</p>
      <Trouble said={failed ? words.settleFailed : ''} />
      {open.map(([name, field]) => (
        <fieldset key={name}>
          <legend>{nameOf(name)}</legend>
          {decides?.(name, field).map((line) => (
            <p key={line}>{line}</p>
          ))}
          <ul>
            {[
              { value: field.value, by: field.by, shown: true },
              ...(field.others ?? []).map((other) => ({ ...other, shown: false })),
            ].map(({ value, by, shown }) => {
              const brief = short(name, value, by);
              return (
                <li key={by.entry}>
                  <p>
                    <b>{written(name, value)}</b>
                    {shown && <span class="small quiet"> · {words.settleShown}</span>}
                    <br />
                    <span class="small quiet">{who(by)}</span>
                  </p>
                  <Button onClick={() => void keep(name, field, value, brief)}>{words.settleKeep(brief)}</Button>
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
  return supervisorWords.value.lot.settleBy(view.people[by.person] ?? appWords.value.common.unknown, stamp(by.stamp));
}

export function lotTag(view: LotView, id: string): string {
  const known = [view.parent, view.cuttings?.mother, ...view.children].find((lot) => lot?.id === id);
  return known ? supervisorWords.value.pages.lotName(known.tag) : appWords.value.common.unknown;
}
