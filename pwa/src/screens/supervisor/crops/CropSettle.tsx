import type { Authorship, Field, Grade, HeadTarget, SizedStage, Stage } from '../../../../../schema/types';
import { supervisorWords } from '../../../words/supervisor';
import { stamp } from '../../../words/format';
import { saidGrades } from './cropgrades';
import { saidSizes } from './sizes';
import { saidTargets } from './targets';
import { personName } from './crops';
import { stageNames } from './stages';
import { saidValue, valueNames, type ValueName } from './cropvalues';
import { withSign } from '../../../forms/typed';
import { word } from '../../../words/entry';
import { Disagreements } from '../Settle';

/** Values of a crop, or of a cultivar, in which two people differ, each settled by one tap as on a lot's page. */
export function CropSettle({
  kind,
  of,
  fields,
}: {
  kind: 'profile' | 'cultivar';
  of: string;
  fields: { readonly [name: string]: Field };
}) {
  const words = supervisorWords.value.crops;
  const who = (by: Authorship) => supervisorWords.value.lot.settleBy(personName(by.person), stamp(by.stamp));
  return (
    <Disagreements
      kind={kind}
      of={of}
      fields={fields}
      nameOf={(field) =>
        word({ ...words.field, ...words.lists, ...words.cultivar.field, ...supervisorWords.value.plan.stage }, field)
      }
      say={said}
      short={(field, value, by) => {
        if (field === 'grades' && Array.isArray(value)) return words.gradesBy(value.length, personName(by.person));
        if (field === 'sizes' && Array.isArray(value)) return words.sizes.count(value.length);
        return field === 'targets' && Array.isArray(value) ? words.targets.count(value.length) : said(field, value);
      }}
      who={who}
    />
  );
}

function said(field: string, value: unknown): string {
  if (value === null || value === undefined) return supervisorWords.value.lot.emptied;
  if (field === 'grades') return saidGrades(value as Grade[]);
  if (field === 'targets') return saidTargets(value as HeadTarget[]);
  if (field === 'sizes') return saidSizes(value as SizedStage[]);
  if (Array.isArray(value)) return supervisorWords.value.crops.stagesSet(value.length);
  if (field === 'root_share_bp') return withSign(Number(value), 'percent');
  const stage = stageNames.find((each) => each === field);
  if (stage) {
    const { shortest_days, likely_days, longest_days } = value as Stage;
    return supervisorWords.value.plan.now(shortest_days, likely_days, longest_days);
  }
  const name = valueNames.find((each): each is ValueName => each === field);
  return name && typeof value === 'number' ? saidValue(name, value) : String(value);
}
