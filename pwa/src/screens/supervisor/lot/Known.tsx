import { useState } from 'preact/hooks';
import type { LotView } from '../../../../../schema/types';
import { recordOf } from '../../../journal/records/registers';
import { Button } from '../../../parts/Button';
import { supervisorWords } from '../../../words/supervisor';
import { KnownEdit } from './KnownEdit';
import { Section } from '../Page';
import { lotField, word } from '../../../words/entry';
import { lotTag, whoWhen } from '../Settle';

const order = [
  'tag',
  'crop',
  'cultivar',
  'pot_mm',
  'origin',
  'parent',
  'mother',
  'stock',
  'plants_each',
  'struck_on',
  'potted_on',
  'ship_week',
  'route',
  'shipped_on',
];

/** The lot's own fields as they stand now on this device, each with its writer, to be changed in place. */
export function Known({ view }: { view: LotView }) {
  const words = supervisorWords.value.lot;
  const [edits, setEdits] = useState(false);
  const here = recordOf('lot', view.lot.id);
  const fields = (here ?? view.record).register?.fields ?? {};
  return (
    <Section title={words.fieldsTitle}>
      {edits ? (
        <KnownEdit lot={view.lot.id} onDone={() => setEdits(false)} />
      ) : (
        <>
          <dl class="fields">
            {order.flatMap((name) => {
              const field = fields[name];
              if (!field || field.value === null || field.value === undefined) return [];
              return [
                <div key={name}>
                  <dt>{word(words.field, name)}</dt>
                  <dd>
                    {lotField(name, field.value, (id) => lotTag(view, id))}
                    <span class="small quiet">{whoWhen(view, field.by)}</span>
                  </dd>
                </div>,
              ];
            })}
          </dl>
          <p class="actions">
            {/* What has not arrived on this device cannot be written over with open eyes. */}
            <Button disabled={!here} onClick={() => setEdits(true)}>
              {supervisorWords.value.promise.edit}
            </Button>
          </p>
        </>
      )}
    </Section>
  );
}
