/** What every lot that is made on the spot is asked for, from a tag or by a step-up. */
import { workWords } from '../../../words/rooms';
import { TextField } from '../../../forms/fields';
import type { Form } from '../../../forms/form';
import { knownLots } from '../../../forms/place';
import { nameOfLot } from '../../../words/names';
import { lotsOf } from '../../../forms/code';
import { amount, tagTyped, wayOf, type Answer } from '../../../forms/typed';

/** A tag that no other lot has; one that is known, if only without its hyphen, is asked about, never refused. */
export function newTag(form: Form, name: string): Answer<string> {
  const typed = tagTyped(form.at('tag'), name);
  const [same] = lotsOf(typed.value ?? '', knownLots());
  return same ? { ...typed, hint: workWords.value.work.hint.tagThere(nameOfLot(same.id)) } : typed;
}

export function potSize(form: Form, name: string): Answer<number> {
  return amount(form.at('pot'), { kind: 'lot', field: 'pot_mm', name, measure: 'length', must: true });
}

interface Asked<T> {
  form: Form;
  label: string;
  answer: Answer<T>;
}

export function TagField({ form, label, answer }: Asked<string>) {
  return <TextField label={label} {...form.field('tag', answer)} capitals="characters" />;
}

export function PotSizeField({ form, label, answer }: Asked<number>) {
  return <TextField label={label} {...form.field('pot', answer)} mode="decimal" sign={wayOf('length').sign} />;
}
