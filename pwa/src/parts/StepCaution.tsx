import type { JSX } from 'preact';
import { Blade, Cold, Hot, Label, Lift } from './Signs';
import { language } from '../words';
import { otherWorkWords, workWords } from '../words/rooms';
import '../style/stepcaution.css';

const signs = { cooler: Cold, heat: Hot, lifting: Lift, blades: Blade, label: Label };

const hazards: { readonly [step: string]: keyof typeof signs | undefined } = {
  into_liner: 'lifting',
  into_small_pot: 'lifting',
  into_finished_pot: 'lifting',
  last_pinch: 'blades',
  regulator: 'label',
  into_cooler: 'cooler',
  into_forcing: 'heat',
};

/** The caution of each hazard that these steps have, once each. */
export function StepCautions({ steps }: { steps: readonly string[] }) {
  const first = steps.filter((step, i) => steps.findIndex((each) => hazards[each] === hazards[step]) === i);
  return (
    <>
      {first.map((step) => (
        <StepCaution key={step} step={step} />
      ))}
    </>
  );
}

/** What must be minded at a step, said before it is taken: a sign, and the words in both languages. */
export function StepCaution({ step }: { step: string }) {
  const hazard = hazards[step];
  if (!hazard) return null;
  const Sign: () => JSX.Element = signs[hazard];
  const say = ({ work }: typeof workWords.value) =>
    hazard === 'label'
      ? `${work.application.cautions.label} ${work.application.cautions.licence}`
      : work.hazards[hazard];
  return (
    <aside class="stepcaution" aria-label={workWords.value.work.hazards.title}>
      <Sign />
      <p class="small">
        {say(workWords.value)}
        <br />
        <span class="quiet" lang={language.value === 'en' ? 'es' : 'en'}>
          {say(otherWorkWords.value)}
        </span>
      </p>
    </aside>
  );
}
