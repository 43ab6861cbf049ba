/**
 * What must be known before a product is noted. A hazard never rests on a translated word alone: its own sign
 * and the same sentence in the other language stand beside it.
 */
import type { JSX } from 'preact';
import { otherWorkWords, workWords } from '../../words/rooms';
import { language } from '../../words';
import { Blade, Cold, Gear, Hot, KeepOut, Label, Lift, Mask, Scale, Sprayed, Trained } from '../../parts/Signs';

const cautions = [
  ['label', Label],
  ['gear', Gear],
  ['licence', Trained],
  ['entry', KeepOut],
] as const;

/** Shown besides the cautions that stand wherever a product is named: those of computing a mix. */
const mixing = [
  ['sum', Scale],
  ['second', Trained],
] as const;

const ofWork = { cooler: Cold, heat: Hot, lifting: Lift, blades: Blade, peat: Mask };

/** Hazards of the work itself, where it is noted: of each the sign, the words, and the same in the other language. */
export function Caution({ of }: { of: readonly (keyof typeof ofWork)[] }) {
  return (
    <aside class="cautions" aria-label={workWords.value.work.hazards.title}>
      {of.map((hazard) => (
        <Said
          key={hazard}
          Sign={ofWork[hazard]}
          name={hazard}
          whole={[workWords.value.work.hazards[hazard], otherWorkWords.value.work.hazards[hazard]]}
        />
      ))}
    </aside>
  );
}

interface SaidProps {
  Sign: () => JSX.Element;
  name: keyof ReturnType<typeof signs>;
  /** The whole caution, in the language on the screen and in the other one. */
  whole: readonly [string, string];
}

const signs = () => workWords.value.work.signs;

/** A sign with a line in both languages, so that a form begins on the first screen; a tap opens the whole caution. */
function Said({ Sign, name, whole: [text, also] }: SaidProps) {
  const other = language.value === 'en' ? 'es' : 'en';
  return (
    <details class="caution">
      <summary>
        <Sign />
        <span>
          <b>{signs()[name]}</b>
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

export function Cautions({ mix = false }: { mix?: boolean }) {
  const words = workWords.value.work.application.cautions;
  const other = otherWorkWords.value.work.application.cautions;
  return (
    <aside class="cautions" aria-labelledby="danger">
      <div class="danger">
        <Sprayed />
        <p id="danger">
          <b lang="en">
            DANGER · PESTICIDES · <span class="whole">KEEP OUT</span>
          </b>
          <br />
          <b lang="es">
            PELIGRO · PESTICIDAS · <span class="whole">NO ENTRE</span>
          </b>
        </p>
      </div>
      <ul>
        {[...(mix ? mixing : []), ...cautions].map(([name, Sign]) => (
          <li key={name}>
            <Said Sign={Sign} name={name} whole={[words[name], other[name]]} />
          </li>
        ))}
      </ul>
      {/* Of a mix the first line has said so. */}
      {!mix && <p class="small">{words.rate}</p>}
    </aside>
  );
}
