import type { JSX } from 'preact';
import { Blade, Cold, Hold, Hot, Label, Lift, Mask, Shock } from './Signs';
import { language } from '../words';
import { otherWorkWords, workWords } from '../words/rooms';
import '../style/caution.css';

/** The hazards of the work itself, each with its sign. */
const hazards = {
  cooler: Cold,
  heat: Hot,
  lifting: Lift,
  blades: Blade,
  label: Label,
  peat: Mask,
  disease: Hold,
  electricity: Shock,
};
export type Hazard = keyof typeof hazards;

interface CautionProps {
  Sign: () => JSX.Element;
  name: keyof typeof workWords.value.work.signs;
  /** The whole caution, in the language on the screen and in the other one. */
  whole: readonly [string, string];
}

/** A sign with a line in both languages, so that the work itself stays on the screen; a tap opens the whole caution. */
export function Caution({ Sign, name, whole: [text, also] }: CautionProps) {
  const other = otherLanguage();
  return (
    <details class="caution">
      <summary>
        <Sign />
        <span>
          <b>{workWords.value.work.signs[name]}</b>
          <span class="small quiet" lang={other}>
            {otherWorkWords.value.work.signs[name]}
          </span>
        </span>
      </summary>
      <p>{text}</p>
      <p class="small quiet" lang={other}>
        {also}
      </p>
    </details>
  );
}

/** A hazard of the work: a line that opens. */
export function HazardCaution({ of }: { of: Hazard }) {
  return <Caution Sign={hazards[of]} name={of} whole={wholeOf(of)} />;
}

const potting: readonly Hazard[] = ['lifting', 'peat'];
const ofStep: { readonly [step: string]: readonly Hazard[] | undefined } = {
  into_liner: potting,
  into_small_pot: potting,
  into_finished_pot: potting,
  last_pinch: ['blades'],
  regulator: ['label'],
  into_cooler: ['cooler'],
  into_forcing: ['heat'],
};

interface StepsProps {
  steps: readonly string[];
  /** A line for each, that opens: where the work itself must stay on the screen. */
  isShort?: boolean;
}

/** What must be minded at these steps, said before they are taken: each hazard once, by a sign and in words of both languages. */
export function StepCautions({ steps, isShort = false }: StepsProps) {
  const all = [...new Set(steps.flatMap((step) => ofStep[step] ?? []))];
  return (
    <>
      {all.map((hazard) =>
        isShort ? <HazardCaution key={hazard} of={hazard} /> : <WholeCaution key={hazard} of={hazard} />,
      )}
    </>
  );
}

function WholeCaution({ of }: { of: Hazard }) {
  const Sign = hazards[of];
  const [text, also] = wholeOf(of);
  return (
    <div class="stepcaution" role="note" aria-label={workWords.value.work.hazards.title}>
      <Sign />
      <p class="small">
        {text}
        <br />
        <span class="quiet" lang={otherLanguage()}>
          {also}
        </span>
      </p>
    </div>
  );
}

/** What there is to say of a hazard, in the language on the screen and in the other one. */
function wholeOf(hazard: Hazard): [string, string] {
  const said = ({ work }: typeof workWords.value) =>
    hazard === 'label'
      ? `${work.application.cautions.label} ${work.application.cautions.licence}`
      : work.hazards[hazard];
  return [said(workWords.value), said(otherWorkWords.value)];
}

function otherLanguage(): 'en' | 'es' {
  return language.value === 'en' ? 'es' : 'en';
}
