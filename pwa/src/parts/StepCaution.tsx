import type { JSX } from 'preact';
import { Blade, Cold, Hot, Label, Lift, Mask } from './Signs';
import { language } from '../words';
import { otherWorkWords, workWords } from '../words/rooms';
import '../style/stepcaution.css';

const signs = { cooler: Cold, heat: Hot, lifting: Lift, blades: Blade, label: Label, peat: Mask };
type Hazard = keyof typeof signs;

const potting: readonly Hazard[] = ['lifting', 'peat'];
const hazards: { readonly [step: string]: readonly Hazard[] | undefined } = {
  into_liner: potting,
  into_small_pot: potting,
  into_finished_pot: potting,
  last_pinch: ['blades'],
  regulator: ['label'],
  into_cooler: ['cooler'],
  into_forcing: ['heat'],
};

interface Props {
  steps: readonly string[];
  /** A line for each, that opens: where the work itself must stay on the screen. */
  isShort?: boolean;
}

/** What must be minded at these steps, said before they are taken: each hazard once, by a sign and in words of both languages. */
export function StepCautions({ steps, isShort = false }: Props) {
  const other = language.value === 'en' ? 'es' : 'en';
  return (
    <>
      {[...new Set(steps.flatMap((step) => hazards[step] ?? []))].map((hazard) => {
        const Sign: () => JSX.Element = signs[hazard];
        const said = (
          <>
            {whole(hazard, workWords.value)}
            <br />
            <span class="quiet" lang={other}>
              {whole(hazard, otherWorkWords.value)}
            </span>
          </>
        );
        return isShort ? (
          <details key={hazard} class="stepcaution">
            <summary>
              <Sign />
              <span>
                <b>{workWords.value.work.signs[hazard]}</b>
                <br />
                <span class="small quiet" lang={other}>
                  {otherWorkWords.value.work.signs[hazard]}
                </span>
              </span>
            </summary>
            <p class="small">{said}</p>
          </details>
        ) : (
          <div key={hazard} class="stepcaution" role="note" aria-label={workWords.value.work.hazards.title}>
            <Sign />
            <p class="small">{said}</p>
          </div>
        );
      })}
    </>
  );
}

function whole(hazard: Hazard, { work }: typeof workWords.value): string {
  if (hazard !== 'label') return work.hazards[hazard];
  return `${work.application.cautions.label} ${work.application.cautions.licence}`;
}
