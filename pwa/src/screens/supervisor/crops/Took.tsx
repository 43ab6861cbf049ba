import type { StageTook } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { Link } from '../../../router';
import { day, list, number } from '../../../words/format';
import { word } from '../../../words/entry';
import { supervisorWords } from '../../../words/supervisor';
import type { StageEdit } from './stageedit';
import { lengthNames, type StageName } from './stages';

interface Props {
  took: StageTook;
  stage: StageName;
  edit: StageEdit;
}

/** What the cultivar's last lots took for a stage, and what they come to; it goes into the fields when somebody takes it, never by itself. */
export function Took({ took, stage, edit }: Props) {
  const words = supervisorWords.value.crops.cultivar;
  const [quick = 0, middle = 0, slow = 0] = took.use;
  const [before0 = 0, before1 = 0, before2 = 0] = took.before;
  const isThere = lengthNames.every((length, i) => edit.typedLength(stage, length) === String(took.use[i]));
  const standing = took.from === 'crop' ? words.cropsOwn : word(supervisorWords.value.plan.standing, took.standing);
  return (
    <div class="took">
      <p>{words.took(took.lots.length, list(took.lots.map((lot) => number(lot.days))))}</p>
      {isThere ? (
        <p class="quiet">{words.isThere}</p>
      ) : (
        <Button onClick={() => edit.typeLengths(stage, textsOf(took.use))}>{words.use(quick, middle, slow)}</Button>
      )}
      <p class="small quiet">{words.weighed(before0, before1, before2, standing, took.worth_lots)}</p>
      <p class="small quiet">
        {took.lots.map((lot, i) => (
          <span key={lot.lot}>
            {i > 0 && ', '}
            <Link to={`/lots/${lot.lot}`}>{lot.tag}</Link> {words.ended(lot.days, day(lot.ended))}
          </span>
        ))}
      </p>
    </div>
  );
}

function textsOf(use: readonly number[]): Record<(typeof lengthNames)[number], string> {
  const [quick = 0, middle = 0, slow = 0] = use;
  return { shortest_days: String(quick), likely_days: String(middle), longest_days: String(slow) };
}
