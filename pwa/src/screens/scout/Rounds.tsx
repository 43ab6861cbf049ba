import { Button } from '../../parts/Button';
import { potsOfWalk, useStored } from '../../journal/read';
import { rounds, walks } from '../../journal/things';
import { go } from '../../router';
import { me } from '../../state';
import { t } from '../../words';
import { nameOfBed } from './names';

/** Second looks that this person was asked for and has not begun. */
export function Rounds() {
  const person = me.value?.person;
  const begun = new Set(
    [...walks.value.values()].flatMap((walk) => (walk.by?.person === person ? (walk.open?.round ?? []) : [])),
  );
  const asked = [...rounds.value.values()].filter(
    (round) => round.by === person && !round.done && !begun.has(round.id),
  );
  if (asked.length === 0) return null;
  return (
    <section>
      <h2>{t.value.scout.rounds}</h2>
      {asked.map((round) => (
        <OneRound key={round.id} round={round.id} bed={round.bed ?? ''} first={round.walk ?? ''} />
      ))}
    </section>
  );
}

function OneRound({ round, bed, first }: { round: string; bed: string; first: string }) {
  const pots = useStored(() => potsOfWalk(first), [first]);
  const start = async () => {
    const { startRound } = await import('./course');
    go(`/walk/${await startRound(round, bed, first)}`);
  };
  return (
    <div class="halfway">
      <p>{t.value.scout.roundExplain(nameOfBed(bed), (pots ?? []).filter((pot) => !pot.voided).length)}</p>
      <Button kind="main" size="walk" onClick={() => void start()}>
        {t.value.scout.roundStart}
      </Button>
    </div>
  );
}
