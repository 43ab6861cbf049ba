/**
 * What must be known before a product is noted. A hazard is never told by a translated word alone: a sign of its own
 * and the English stand beside it, whatever language the screen speaks.
 */
import { english, spanish, w } from '../../words/work';
import { language } from '../../words';
import { Gear, KeepOut, Label, Sprayed, Trained } from './Signs';

const cautions = [
  ['label', Label],
  ['gear', Gear],
  ['licence', Trained],
  ['entry', KeepOut],
] as const;

export function Cautions() {
  const other = language.value === 'en' ? spanish : english;
  const otherLanguage = language.value === 'en' ? 'es' : 'en';
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
        {cautions.map(([name, Sign]) => (
          <li key={name}>
            <Sign />
            <p>
              {w.value.work.application.cautions[name]}
              <br />
              <span class="small quiet" lang={otherLanguage}>
                {other.work.application.cautions[name]}
              </span>
            </p>
          </li>
        ))}
      </ul>
      <p class="small">{w.value.work.application.cautions.rate}</p>
    </aside>
  );
}
