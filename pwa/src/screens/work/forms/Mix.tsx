/** How much product makes a mix: arithmetic from the container's strength, kept as it is typed, noted nowhere. */
import { useState } from 'preact/hooks';
import { Button } from '../../../parts/Button';
import { Choice } from '../../../parts/Choice';
import { Title } from '../../../router';
import { workWords } from '../../../words/rooms';
import { Cautions } from '../Cautions';
import { TextField } from '../../../forms/fields';
import { useForm } from '../../../forms/form';
import { Clearing, Opening, PlaceLine } from '../Frame';
import type { Location } from '../../../forms/place';
import { Answered, BackAlone } from '../Sum';
import { BatchSheet } from './BatchSheet';
import { fieldsOf, mayBeImperial, mixtureOf, signOf, strengthOf, strengths, typedAs, useOf, uses } from './mixing';

export function Mix({ place }: { place: Location }) {
  const words = workWords.value.work;
  const form = useForm('mix', { lot: '', bed: '' });
  const [prints, print] = useState(false);
  if (!form) return <Opening title={words.forms.mix} />;
  const names = words.mix;
  const use = useOf(form);
  const by = strengthOf(form);
  const mixture = mixtureOf(form);
  return (
    <main class="scout work with-foot">
      <Title text={words.forms.mix} />
      <PlaceLine place={place} />
      <Choice
        legend={names.use}
        options={uses.map((each) => ({ value: each, label: names.uses[each] }))}
        value={use}
        columns={1}
        onChoose={(each) => form.set({ use: each })}
      />
      {/* Under the first question, which decides what they are and harms nobody, and above all that is weighed. */}
      <Cautions of={use === 'feed' ? 'feed' : 'mix'} />
      {use !== 'feed' && (
        <Choice
          legend={names.by}
          options={strengths.map((each) => ({ value: each, label: names.bys[each] }))}
          value={by}
          columns={1}
          onChoose={(each) => form.set({ by: each })}
        />
      )}
      {fieldsOf(use, by).map((name) => (
        <TextField
          key={name}
          label={names.fields[name]}
          typed={form.at(name)}
          answer={typedAs(form, name)}
          tried={false}
          mode="decimal"
          sign={signOf(name, form)}
          {...(name === 'percent' || name === 'pounds' ? { note: names.percentHint } : {})}
          {...(name === 'rate' ? { note: names.rateHint } : {})}
          onType={(text) => form.set({ [name]: text })}
        />
      ))}
      {mayBeImperial(form) && (
        <Choice
          legend={names.tank}
          options={[
            { value: 'L', label: names.litres },
            { value: 'imperial', label: names.imperial },
          ]}
          value={form.at('tank') === 'imperial' ? 'imperial' : 'L'}
          columns={1}
          onChoose={(each) => form.set({ tank: each })}
        />
      )}
      <Answered sum={mixture} not={names.not} />
      {mixture && 'headline' in mixture && (
        <Button size="walk" onClick={() => print(true)}>
          {names.sheet.print}
        </Button>
      )}
      <Clearing form={form} />
      <BackAlone place={place} />
      {prints && mixture && 'headline' in mixture && (
        <BatchSheet form={form} mixture={mixture} onOver={() => print(false)} />
      )}
    </main>
  );
}
