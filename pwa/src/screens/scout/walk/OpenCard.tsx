/** The card that is still open when a walk is to be ended: what it says, and what is to become of it. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { Button } from '../../../parts/Button';
import { say, sayNotSaved } from '../../../parts/Toast';
import type { Draft } from '../../../journal/store/shape';
import { amendWords } from '../../../words/rooms';
import { lacksDegree } from '../card/card';
import type { Course } from './course';
import { everything } from '../../../words/observation';
import { placeOf } from '../../../words/place';
import { leaveHalfOut, settleHalf } from './halfNoted';
import { isPast } from './openWalks';

interface Props {
  course: Course;
  half: Draft;
  /** How often the walk was to be ended while this is undecided. */
  asked: number;
  /** Called when it was saved, left out or put back. */
  onDone: () => void;
}

export function OpenCard({ course, half, asked, onDone }: Props) {
  const words = amendWords.value.open;
  const heading = useRef<HTMLHeadingElement>(null);
  const [busy, setBusy] = useState(false);
  useEffect(() => {
    if (asked > 0) heading.current?.focus();
  }, [asked]);
  const { walk, standing } = course;
  const asWords = !half.pot && isPast(walk);
  const pot = half.pot ? standing.findIndex(({ id }) => id === half.pot) + 1 : standing.length + 1;
  const does = async (what: () => Promise<void>) => {
    setBusy(true);
    try {
      await what();
      onDone();
    } catch (error) {
      sayNotSaved(error);
    }
    setBusy(false);
  };
  const leaveOut = () =>
    does(async () => {
      const putBack = await leaveHalfOut(half);
      say(words.leftOut, () => void does(putBack));
    });
  return (
    <section class="open">
      <h2 ref={heading} tabIndex={-1}>
        {asWords ? words.half : half.pot ? words.correction(pot) : words.pot(pot)}
      </h2>
      {asked > 0 && (
        <p class="attention" role="alert">
          {words.decideFirst}
        </p>
      )}
      {asWords ? (
        <p>{words.asWords(everything(half.now))}</p>
      ) : (
        <>
          <p>
            <b>{placeOf(half.now)}</b> · {everything(half.now)}
          </p>
          {lacksDegree(half.now) && <p class="attention">{words.noDegree}</p>}
          <p class="small quiet">{words.notCounted}</p>
        </>
      )}
      <div class="pair">
        <Button kind="main" size="walk" disabled={busy} onClick={() => void does(() => settleHalf(walk))}>
          {asWords ? words.keepWords : half.pot ? words.saveCorrection : words.savePot(pot)}
        </Button>
        <Button size="walk" kind="clay" disabled={busy} onClick={() => void leaveOut()}>
          {words.leaveOut}
        </Button>
      </div>
    </section>
  );
}
