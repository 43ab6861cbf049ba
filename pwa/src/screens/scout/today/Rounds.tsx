import { useLater } from '../../../parts/later';
import { me } from '../../../state';
import { appWords } from '../../../words';
import { offeredTo, type Offered } from '../walk/rounds';

/** Second looks that this person may take and nobody has begun. */
export function Rounds() {
  const offered = offeredTo(me.value?.person);
  return offered.length === 0 ? null : <Offers offered={offered} />;
}

const loadRound = () => import('./Round').then((it) => it.Round);

function Offers({ offered }: { offered: readonly Offered[] }) {
  const Round = useLater(loadRound);
  return (
    <section>
      <h2>{appWords.value.scout.rounds}</h2>
      {Round && offered.map((round) => <Round key={round.id} {...round} />)}
    </section>
  );
}
