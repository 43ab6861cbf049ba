import { Button } from '../../../parts/Button';
import { sayNotSaved } from '../../../parts/Toast';
import { useStored } from '../../../journal/records/read';
import { go } from '../../../router';
import { me } from '../../../state';
import { appWords } from '../../../words';
import { atWhen } from '../../../words/format';
import { closedNow } from '../closed';
import { nameOfBed } from '../../../words/names';
import { offeredTo, placesOf, type Offered } from '../walk/rounds';

/** Second looks that this person may take and nobody has begun. */
export function Rounds() {
  const offered = offeredTo(me.value?.person);
  if (offered.length === 0) return null;
  return (
    <section>
      <h2>{appWords.value.scout.rounds}</h2>
      {offered.map((round) => (
        <OneRound key={round.id} {...round} />
      ))}
    </section>
  );
}

function OneRound({ id, bed, first }: Offered) {
  const words = appWords.value.scout;
  const places = useStored(() => placesOf(first), [first]);
  const until = closedNow(bed);
  // Until the first walk's pots have arrived there is nothing to lead to.
  if (!places || places.length === 0) return null;
  const start = async () => {
    try {
      const { startRound } = await import('../walk/course');
      go(`/walk/${await startRound(id, bed, places)}`);
    } catch (error) {
      sayNotSaved(error);
    }
  };
  return (
    <div class="in-progress">
      <p>{words.roundExplain(nameOfBed(bed), places.length)}</p>
      {until > 0 ? (
        <p class="attention">{words.bed.closedUntil(atWhen(until))}</p>
      ) : (
        <Button kind="main" size="walk" onClick={() => void start()}>
          {words.roundStart}
        </Button>
      )}
    </div>
  );
}
