import { amendWords } from '../../words/rooms';
import { atWhen } from '../../words/format';
import { Sprayed, SprayedWords } from '../../parts/Signs';

/** What stands in the place of a way in while an entry interval runs: a sign, both languages, and no button. */
export function Shut({ until }: { until: number }) {
  const words = amendWords.value.bed;
  return (
    <section class="entrance shut" role="note">
      <p class="attention">{words.closedUntil(atWhen(until))}</p>
      <p class="danger">
        <Sprayed />
        <span>
          <SprayedWords />
        </span>
      </p>
    </section>
  );
}
