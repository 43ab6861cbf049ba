/**
 * What must be known before a product is noted. A hazard is never told by a translated word alone: a sign of its own
 * and the English stand beside it, whatever language the screen speaks.
 */
import type { JSX } from 'preact';
import { english, spanish, w } from '../../words/work';
import { language } from '../../words';
import { Blade, Cold, Gear, Hot, KeepOut, Label, Lift, Scale, Sprayed, Trained } from './Signs';

const cautions = [
  ['label', Label],
  ['gear', Gear],
  ['licence', Trained],
  ['entry', KeepOut],
] as const;

/** Besides what stands in every place where a product is named: what is particular to reckoning a mix. */
const mixing = [
  ['sum', Scale],
  ['second', Trained],
] as const;

/** A hazard of the work itself, where it is noted: the sign, the words, and the same in the other language. */
export function Caution({ of }: { of: 'cooler' | 'heat' | 'lifting' | 'blades' }) {
  const Sign = { cooler: Cold, heat: Hot, lifting: Lift, blades: Blade }[of];
  return (
    <aside class="cautions" aria-label={w.value.work.hazards.title}>
      <Said Sign={Sign} text={w.value.work.hazards[of]} also={otherWords().work.hazards[of]} />
    </aside>
  );
}

function otherWords(): typeof english | typeof spanish {
  return language.value === 'en' ? spanish : english;
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
  const words = w.value.work.application.cautions;
  const other = otherWords().work.application.cautions;
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
