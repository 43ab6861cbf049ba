import type { LotView } from '../../../../schema/types';
import { d } from '../../words/desk';
import { Section } from './Page';
import { lotField, word } from './saying';
import { lotTag, whoWhen } from './Settle';

const order = [
  'tag',
  'crop',
  'cultivar',
  'pot_mm',
  'origin',
  'parent',
  'struck_on',
  'potted_on',
  'ship_week',
  'route',
  'shipped_on',
];

/** The lot's own fields as they stand now, each with its writer. */
export function Known({ view }: { view: LotView }) {
  const words = d.value.lot;
  const fields = view.record.register?.fields ?? {};
  return (
    <Section title={words.fieldsTitle}>
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
    </Section>
  );
}
