/** One second look that is offered: its bed, how many pots, and the way in. */
import { isLacking } from '../../../journal/records/carried';
import { BedNotHere } from '../../../parts/NotHere';
import { Button } from '../../../parts/Button';
import { sayNotSaved } from '../../../parts/Toast';
import { useStored } from '../../../journal/records/read';
import { go } from '../../../router';
import { amendWords } from '../../../words/rooms';
import { atWhen } from '../../../words/format';
import { closedNow } from '../closed';
import { nameOfBed } from '../../../words/names';
import { placesOf, type Offered } from '../walk/rounds';

export function Round({ id, bed, first }: Offered) {
  const words = amendWords.value;
  const places = useStored(() => placesOf(first), [first]);
  const until = closedNow(bed);
  if (isLacking(bed)) {
    return (
      <div class="in-progress">
        <p>{nameOfBed(bed)}</p>
        <BedNotHere bed={bed} />
      </div>
    );
  }
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
