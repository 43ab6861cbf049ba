/**
 * What must be known before a product is noted. A hazard never rests on a translated word alone: its own sign
 * and the same sentence in the other language stand beside it.
 */
import { otherWorkWords, workWords } from '../../words/rooms';
import { Caution, HazardCaution, type Hazard } from '../../parts/Caution';
import { Gear, KeepOut, Label, Scale, Sprayed, SprayedWords, Trained } from '../../parts/Signs';

/** The sign of each caution. */
export const signs = {
  label: Label,
  gear: Gear,
  licence: Trained,
  entry: KeepOut,
  sum: Scale,
  second: Trained,
};

/** What is warned of where a product is applied, where its mix is computed, and where fertilizer stock is, which is no pesticide. */
export const cautions = {
  applied: ['label', 'gear', 'licence', 'entry'],
  mix: ['sum', 'second', 'label', 'gear', 'licence', 'entry'],
  feed: ['sum', 'second', 'label', 'gear'],
} as const satisfies Record<string, readonly (keyof typeof signs)[]>;

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

export function Cautions({ of = 'applied' }: { of?: keyof typeof cautions }) {
  const words = workWords.value.work.application.cautions;
  const other = otherWorkWords.value.work.application.cautions;
  return (
    <aside class="cautions" aria-label={workWords.value.work.hazards.title}>
      {of !== 'feed' && (
        <div class="danger">
          <Sprayed />
          <p>
            <SprayedWords />
          </p>
        </div>
      )}
      <ul>
        {cautions[of].map((name) => (
          <li key={name}>
            <Caution Sign={signs[name]} name={name} whole={[words[name], other[name]]} />
          </li>
        ))}
      </ul>
      {/* Of a mix the first line has said so. */}
      {of === 'applied' && <p class="small">{words.rate}</p>}
    </aside>
  );
}
