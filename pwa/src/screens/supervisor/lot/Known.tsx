import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import type { Field, LotView } from '../../../../../schema/types';
import type { PastWrite } from '../../../../../sync/fold/fieldHistory';
import { useFieldHistory } from '../../../journal/records/fieldHistory';
import { recordOf } from '../../../journal/records/registers';
import { Button } from '../../../parts/Button';
import { whereLost } from '../../../parts/focus';
import { supervisorWords } from '../../../words/supervisor';
import { FieldHistory } from './FieldHistory';
import { KnownEdit, lotFields, type LotField } from './KnownEdit';
import { Section } from '../Page';
import { lotField, word } from '../../../words/entry';
import { lotTag, whoWhen } from '../Settle';

/** Days that are planned on the lot's plan, and only shown here. */
const pins = ['pin_pinch', 'pin_regulator', 'pin_cool', 'pin_force'] as const;

/** The lot's own fields as they stand now on this device: each with its writer and history, and changed where it stands. */
export function Known({ view }: { view: LotView }) {
  const words = supervisorWords.value.lot;
  const [open, edit] = useState<LotField | undefined>(undefined);
  const id = view.lot.id;
  const here = recordOf('lot', id);
  const past = useFieldHistory(`lot:${id}`);
  const fields = (here ?? view.record).register?.fields ?? {};
  const isSet = (name: string) => fields[name]?.value !== null && fields[name]?.value !== undefined;
  const done = () => {
    edit(undefined);
    whereLost(() => document.querySelector(`#known [data-field='${open ?? ''}'] button, #known .unset button`));
  };
  const row = (name: LotField | (typeof pins)[number]) => ({
    view,
    name,
    field: fields[name],
    past: past.get(name) ?? [],
  });
  const unset = lotFields.filter((name) => !isSet(name) && name !== open);
  return (
    <Section title={words.fieldsTitle} id="known">
      {!here && <p class="quiet">{words.fieldsArriving}</p>}
      <dl class="fields">
        {lotFields
          .filter((name) => isSet(name) || name === open)
          .map((name) => (
            <Row key={name} {...row(name)} onEdit={here && (() => edit(name))}>
              {name === open && <KnownEdit lot={id} field={name} onDone={done} />}
            </Row>
          ))}
        {pins.filter(isSet).map((name) => (
          <Row key={name} {...row(name)} />
        ))}
      </dl>
      {unset.length > 0 && (
        <div class="unset">
          <p class="small quiet" id="unset">
            {words.fieldsUnset}
          </p>
          <ul aria-labelledby="unset">
            {unset.map((name) => (
              <li key={name}>
                <Button kind="quiet" disabled={!here} onClick={() => edit(name)}>
                  {words.field[name]}
                </Button>
                <FieldHistory view={view} name={name} past={past.get(name) ?? []} />
              </li>
            ))}
          </ul>
        </div>
      )}
    </Section>
  );
}

interface RowProps {
  view: LotView;
  name: string;
  field: Field | undefined;
  past: readonly PastWrite[];
  /** Absent where it is not changed here, or not yet: what has not arrived on this device cannot be written over with open eyes. */
  onEdit?: (() => void) | undefined;
  /** Its editor, while it is open. */
  children?: ComponentChildren;
}

function Row({ view, name, field, past, onEdit, children }: RowProps) {
  const words = supervisorWords.value;
  const label = word(words.lot.field, name);
  const isOpen = Boolean(children);
  return (
    <div data-field={name}>
      <dt>{label}</dt>
      <dd>
        {children}
        {!isOpen && field && (
          <>
            {lotField(name, field.value, (id) => lotTag(view, id))}
            <span class="small quiet">{whoWhen(view, field.by)}</span>
            {(field.others?.length ?? 0) > 0 && <span class="small attention">{words.lot.fieldDisputed}</span>}
          </>
        )}
        {!isOpen && <FieldHistory view={view} name={name} past={past} />}
      </dd>
      {((onEdit && !isOpen) || name.startsWith('pin_')) && (
        <dd>
          {onEdit ? (
            <Button kind="quiet" aria-label={words.lot.fieldEdit(label)} onClick={onEdit}>
              {words.promise.edit}
            </Button>
          ) : (
            <a class="button quiet tap" href="#plan">
              {words.pages.plan}
            </a>
          )}
        </dd>
      )}
    </div>
  );
}
