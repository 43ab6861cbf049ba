/**
 * What must be known before a product is noted. A hazard never rests on a translated word alone: its own sign
 * and the same sentence in the other language stand beside it.
 */
import type { JSX } from 'preact';
import { otherWorkWords, workWords } from '../../words/rooms';
import { language } from '../../words';
import { Blade, Cold, Gear, Hot, KeepOut, Label, Lift, Scale, Sprayed, Trained } from '../../parts/Signs';

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

/** A hazard of the work itself, where it is noted: the sign, the words, and the same in the other language. */
export function Caution({ of }: { of: 'cooler' | 'heat' | 'lifting' | 'blades' }) {
  const Sign = { cooler: Cold, heat: Hot, lifting: Lift, blades: Blade }[of];
  return (
    <aside class="cautions" aria-label={workWords.value.work.hazards.title}>
      <Said Sign={Sign} text={workWords.value.work.hazards[of]} also={otherWorkWords.value.work.hazards[of]} />
    </aside>
  );
}

function Said({ Sign, text, also }: { Sign: () => JSX.Element; text: string; also: string }) {
  return (
    <div class="caution">
      <Sign />
      <p>
        {text}
        <br />
        <span class="small quiet" lang={language.value === 'en' ? 'es' : 'en'}>
          {also}
        </span>
      </p>
    </div>
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
          <b lang="en">DANGER · PESTICIDES · KEEP OUT</b>
          <br />
          <b lang="es">PELIGRO · PESTICIDAS · NO ENTRE</b>
        </p>
      </div>
      <ul>
        {[...(mix ? mixing : []), ...cautions].map(([name, Sign]) => (
          <li key={name}>
            <Said Sign={Sign} text={words[name]} also={other[name]} />
          </li>
        ))}
      </ul>
      <p class="small">{words.rate}</p>
    </aside>
  );
}
