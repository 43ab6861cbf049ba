import type { LotView } from '../../../../../schema/types';
import type { PastWrite } from '../../../../../sync/fold/fieldHistory';
import { Button } from '../../../parts/Button';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { lotField, word } from '../../../words/entry';
import { lotTag, whoWhen } from '../Settle';
import { takeBackField } from './takeBack';

interface Props {
  view: LotView;
  name: string;
  /** Newest first. */
  past: readonly PastWrite[];
}

/** What was written of a field before, and what became of each; nothing where it was written once and stands. */
export function FieldHistory({ view, name, past }: Props) {
  const words = supervisorWords.value.lot;
  if (past.length === 0 || (past.length === 1 && past[0]?.state === 'shown')) return null;
  return (
    <details class="past">
      <summary class="small">{words.fieldPast(past.length)}</summary>
      <ol>
        {past.map((one) => (
          <li key={one.by.entry} class={one.state === 'struck' ? 'undone' : ''}>
            <b>{lotField(name, one.value, (id) => lotTag(view, id))}</b>{' '}
            <span class="small">
              {words.fieldState[one.state]}
              {one.settles && ` · ${words.fieldSettles}`}
            </span>
            <span class="small quiet">{whoWhen(view, one.by)}</span>
            {one.voided && (
              <span class="small quiet">
                {words.voided(word(appWords.value.common.voidWhy, one.voided.why))}, {whoWhen(view, one.voided.by)}
              </span>
            )}
            {one.state === 'shown' && one.alone && (
              <Button onClick={() => void takeBackField('lot', view.lot.id, one.by.entry, word(words.field, name))}>
                {one.settles ? words.unsettle : words.fieldTakeBack}
              </Button>
            )}
          </li>
        ))}
      </ol>
    </details>
  );
}
