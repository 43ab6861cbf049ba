/**
 * What must be known before a product is noted. A hazard never rests on a translated word alone: its own sign
 * and the same sentence in the other language stand beside it.
 */
import { otherWorkWords, workWords } from '../../words/rooms';
import { Caution, HazardCaution, type Hazard } from '../../parts/Caution';
import { Gear, KeepOut, Label, Scale, Sprayed, SprayedWords, Trained } from '../../parts/Signs';

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

/** Hazards of the work itself, where it is noted. */
export function Hazards({ of }: { of: readonly Hazard[] }) {
  return (
    <aside class="cautions" aria-label={workWords.value.work.hazards.title}>
      {of.map((hazard) => (
        <HazardCaution key={hazard} of={hazard} />
      ))}
    </aside>
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
          <SprayedWords />
        </p>
      </div>
      <ul>
        {[...(mix ? mixing : []), ...cautions].map(([name, Sign]) => (
          <li key={name}>
            <Caution Sign={Sign} name={name} whole={[words[name], other[name]]} />
          </li>
        ))}
      </ul>
      {/* Of a mix the first line has said so. */}
      {!mix && <p class="small">{words.rate}</p>}
    </aside>
  );
}
