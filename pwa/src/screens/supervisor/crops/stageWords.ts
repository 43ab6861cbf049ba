/** What the plan counts with for a stage, and where that comes from, in words. */
import type { Field, Stage } from '../../../../../schema/types';
import { recordOf } from '../../../journal/records/registers';
import { profileOf } from '../../../journal/records/input';
import { word } from '../../../words/entry';
import { stamp } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { personName } from './crops';
import { startOf, type StageName } from './stages';

function daysOf({ shortest_days, likely_days, longest_days }: Stage): string {
  return supervisorWords.value.plan.now(shortest_days, likely_days, longest_days);
}

/** A crop's own stage, else the one that Bedwalk starts with. */
export function stageInForce(crop: string, name: StageName, field: Field | undefined): string {
  const words = supervisorWords.value.plan;
  if (field?.value) return saidOwn(field);
  const start = startOf(crop, name);
  if (!start) return words.none;
  const standing = word(words.standing, start.standing);
  return `${daysOf(start.stage)}: ${start.source === '' ? standing : words.source(standing, start.source)}.`;
}

/** A cultivar's own stage, else its crop's. */
export function cultivarInForce(crop: string, name: StageName, field: Field | undefined): string {
  if (field?.value) return saidOwn(field);
  const ofCrop = recordOf('profile', profileOf(crop)?.id ?? '')?.register?.fields[name];
  return supervisorWords.value.crops.cultivar.follows(stageInForce(crop, name, ofCrop));
}

function saidOwn(field: Field): string {
  const by = supervisorWords.value.crops.ownBy(personName(field.by.person), stamp(field.by.stamp));
  return `${daysOf(field.value as Stage)}. ${by}`;
}
